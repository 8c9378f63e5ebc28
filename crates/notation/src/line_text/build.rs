//! Signs with their lengths → measures with events.

use super::word::Sign;
use crate::score::{Event, Measure, Ticks};

/// A sign and how long it lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) ticks: Ticks,
    pub(super) sign: Sign,
}

/// A measure that lasts as long as the pieces. `before` are the measures before it, the last of
/// which is tied to it where its note goes on.
pub(super) fn measure(pieces: &[Piece], before: &mut [Measure]) -> Measure {
    let mut events: Vec<Event> = Vec::new();
    let mut at = 0;
    for piece in pieces {
        match (piece.sign, events.last_mut()) {
            (Sign::Note { note, ghost }, _) => events.push(Event {
                ghost,
                ..Event::note(at, piece.ticks, note)
            }),
            (Sign::Hold, Some(last)) => last.ticks += piece.ticks,
            (Sign::Rest, Some(last)) if last.note.is_none() => last.ticks += piece.ticks,
            (Sign::Rest, _) => events.push(Event::rest(at, piece.ticks)),
            (Sign::Hold, None) => {
                let sounding = before.last_mut().and_then(|m| m.events.last_mut());
                events.push(match sounding {
                    Some(held) if held.note.is_some() => {
                        held.tied = true;
                        Event {
                            at,
                            ticks: piece.ticks,
                            tied: false,
                            ..held.clone()
                        }
                    }
                    _ => Event::rest(at, piece.ticks),
                });
            }
        }
        at += piece.ticks;
    }
    let mut measure = Measure::new(at);
    measure.events = events;
    measure
}
