//! Filling a template, and making text safe for its places.

/// The template with each `{{name}}` replaced by its value. Values are not looked through for
/// names; a name without a value is left as it is.
pub(super) fn fill(template: &str, values: &[(&str, &str)]) -> String {
    let mut filled = String::with_capacity(template.len());
    let mut rest = template;
    while let Some((before, after)) = rest.split_once("{{") {
        filled.push_str(before);
        let named = after.split_once("}}").and_then(|(name, after)| {
            let value = values.iter().find(|(known, _)| *known == name)?;
            Some((value.1, after))
        });
        match named {
            Some((value, after)) => {
                filled.push_str(value);
                rest = after;
            }
            None => {
                filled.push_str("{{");
                rest = after;
            }
        }
    }
    filled.push_str(rest);
    filled
}

/// JSON that can stand in a `script` element: nothing in it ends the element or begins a
/// comment. It is the same JSON.
pub(super) fn script_safe(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        match c {
            '<' => out.push_str("\\u003c"),
            '>' => out.push_str("\\u003e"),
            '&' => out.push_str("\\u0026"),
            '\u{2028}' => out.push_str("\\u2028"),
            '\u{2029}' => out.push_str("\\u2029"),
            _ => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_engrave::escaped;

    #[test]
    fn names_are_filled_once_and_values_are_not_looked_through() {
        let values = [("a", "{{b}}"), ("b", "x")];
        assert_eq!(
            fill("{{a}} {{b}} {{c}} {{ {{b}}", &values),
            "{{b}} x {{c}} {{ x"
        );
        assert_eq!(fill("a }} {{", &values), "a }} {{");
    }

    #[test]
    fn nothing_breaks_out_of_an_attribute_or_an_element() {
        assert_eq!(escaped("<b a='\"'>&"), "&lt;b a=&#39;&quot;&#39;&gt;&amp;");
        let text = "</script><!-- & \u{2028}";
        let json = serde_json::to_string(text).unwrap();
        let safe = script_safe(&json);
        assert!(!safe.contains(['<', '>', '&', '\u{2028}']));
        assert_eq!(serde_json::from_str::<String>(&safe).unwrap(), text);
    }
}
