//! Reading chart text: lines → tokens → bars → [`Chart`](crate::Chart).

mod bar;
mod bare;
mod body;
mod directive;
mod header;
mod lex;
mod read;

pub(crate) use read::read;
