//! Plans: drawn, and inferred from lines.

mod inferred;
mod rhythm;
mod support;
mod wishes;
