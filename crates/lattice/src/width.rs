//! Row widths: candidates are padded to one of a few lane counts, chosen when a search starts.

/// Runs `$body` with `$W` the smallest lane count that holds `$candidates`.
macro_rules! with_lanes {
    ($candidates:expr, $W:ident => $body:expr) => {
        match $candidates {
            ..=32 => {
                const $W: usize = 32;
                $body
            }
            33..=40 => {
                const $W: usize = 40;
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
