//! Row widths: candidates are padded to one of a few lane counts, chosen when a search starts.
//!
//! All are multiples of the widest vectors' lanes: 16 of 32 bits, 8 of 64 bits.

/// Runs `$body` with `$W` the smallest of 32, `$middle` and 64 that holds `$candidates`.
macro_rules! with_lanes {
    ($candidates:expr, $middle:literal, $W:ident => $body:expr) => {
        match $candidates {
            ..=32 => {
                const $W: usize = 32;
                $body
            }
            33..=$middle => {
                const $W: usize = $middle;
                $body
            }
            _ => {
                const $W: usize = 64;
                $body
            }
        }
    };
}

pub(crate) use with_lanes;
