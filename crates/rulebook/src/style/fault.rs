//! What several places say is wrong with a style.

use linewright_diagnostic::{Diagnostic, clean::shown, nearest};

/// What to say of a rule that does not exist: the hint is the nearest name.
pub fn unknown_rule<'a>(rule: &str, known: impl IntoIterator<Item = &'a str>) -> Diagnostic {
    let hint = match nearest(rule, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`linewright rules` lists them".to_owned(),
    };
    let message = format!("there is no rule called `{}`", shown(rule));
    Diagnostic::error(message, hint)
}
