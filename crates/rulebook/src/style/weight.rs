//! A rule's weight: so many points for a full-strength finding, or never.

use std::fmt;

use linewright_diagnostic::clean::shown;
use serde::de::{self, Deserializer, Visitor};
use serde::{Deserialize, Serialize, Serializer};

/// The largest weight, in points, that a style may give either way.
pub const LARGEST_POINTS: f64 = 100.0;

/// What a full-strength finding of a rule is worth.
///
/// Written in a style as a number of points between −100 and 100 (kept as
/// whole milli-points, so that scores are exact) or as the word `"never"`.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub enum Weight {
    /// So many milli-points; positive is liked, negative disliked.
    Milli(i32),
    /// A hard limit: no line may contain a finding of the rule.
    Never,
}

impl Weight {
    /// The weight that changes nothing.
    pub const ZERO: Weight = Weight::Milli(0);

    /// Contribution in milli-points of a finding of the given strength
    /// (0..=1000), or `None` where the finding is forbidden.
    ///
    /// Rounds toward zero, so that a contribution is the same wherever it is
    /// computed.
    pub fn times(self, strength: i32) -> Option<i32> {
        match self {
            Weight::Milli(_) | Weight::Never if strength == 0 => Some(0),
            Weight::Milli(milli) if strength == 1000 => Some(milli),
            Weight::Milli(milli) => {
                let product = i64::from(milli) * i64::from(strength) / 1000;
                Some(product.clamp(i64::from(i32::MIN / 8), i64::from(i32::MAX / 8)) as i32)
            }
            Weight::Never => None,
        }
    }
}

impl fmt::Display for Weight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Weight::Milli(milli) => write!(f, "{:+.2}", f64::from(*milli) / 1000.0),
            Weight::Never => f.write_str("never"),
        }
    }
}

impl Serialize for Weight {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Weight::Milli(milli) => serializer.serialize_f64(f64::from(*milli) / 1000.0),
            Weight::Never => serializer.serialize_str("never"),
        }
    }
}

impl<'de> Deserialize<'de> for Weight {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Points;
        impl Visitor<'_> for Points {
            type Value = Weight;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number of points from -100 to 100, or the word \"never\"")
            }
            fn visit_f64<E: de::Error>(self, points: f64) -> Result<Weight, E> {
                if points.is_finite() && points.abs() <= LARGEST_POINTS {
                    // Round half away from zero by hand: portable and exact here.
                    let milli = points * 1000.0;
                    let nudge = if milli < 0.0 { -0.5 } else { 0.5 };
                    Ok(Weight::Milli((milli + nudge) as i32))
                } else {
                    let points = shown(&points.to_string());
                    Err(E::custom(format!(
                        "{points} is out of range: a weight is a number from -100 to 100, or \"never\""
                    )))
                }
            }
            fn visit_i64<E: de::Error>(self, points: i64) -> Result<Weight, E> {
                self.visit_f64(points as f64)
            }
            fn visit_u64<E: de::Error>(self, points: u64) -> Result<Weight, E> {
                self.visit_f64(points as f64)
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Weight, E> {
                if text == "never" {
                    Ok(Weight::Never)
                } else {
                    let text = shown(text);
                    Err(E::custom(format!(
                        "\"{text}\" is not a weight: write a number from -100 to 100, or \"never\""
                    )))
                }
            }
        }
        deserializer.deserialize_any(Points)
    }
}

impl schemars::JsonSchema for Weight {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Weight".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "description": "Points for a full-strength finding of the rule, or a hard limit.",
            "oneOf": [
                { "type": "number", "minimum": -100, "maximum": 100 },
                { "const": "never" }
            ]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_contribution_is_weight_times_strength_rounded_toward_zero() {
        assert_eq!(Weight::Milli(1500).times(1000), Some(1500));
        assert_eq!(Weight::Milli(1501).times(500), Some(750));
        assert_eq!(Weight::Milli(-1501).times(500), Some(-750));
    }

    #[test]
    fn never_forbids_a_finding_and_ignores_its_absence() {
        assert_eq!(Weight::Never.times(1), None);
        assert_eq!(Weight::Never.times(0), Some(0));
    }
}
