//! Warnings as reports have them.

use crate::warning::Warning;
use crate::words::Sentence;
use schemars::JsonSchema;
use serde::Serialize;

/// A warning: its kind and data, its sentence in parts, and as the command line says it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WarningReport {
    /// What was noticed, with its data.
    #[serde(flatten)]
    #[schemars(with = "Kind")]
    warning: Warning,
    /// As the command line says it.
    text: String,
    /// The sentence in parts, for faces that write options their own way.
    parts: Sentence,
}

/// What a schema says of a warning; more fields hold its data.
#[derive(JsonSchema)]
#[allow(dead_code)]
struct Kind {
    /// What was noticed.
    kind: String,
}

impl From<&Warning> for WarningReport {
    fn from(warning: &Warning) -> Self {
        Self {
            text: warning.to_string(),
            parts: warning.sentence(),
            warning: warning.clone(),
        }
    }
}

impl WarningReport {
    /// All of them, in order.
    pub fn all<'a>(warnings: impl IntoIterator<Item = &'a Warning>) -> Vec<Self> {
        warnings.into_iter().map(Self::from).collect()
    }

    /// What was noticed.
    pub fn warning(&self) -> &Warning {
        &self.warning
    }

    /// As the command line says it.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// As a printed booklet says it: a plain instruction.
    pub fn instruction(&self) -> String {
        self.warning.instruction()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reports_have_a_warning_s_data_and_its_sentence() {
        let warning = Warning::GroundChosen {
            name: "gull white".to_string(),
        };
        assert_eq!(
            serde_json::to_string(&WarningReport::from(&warning)).unwrap(),
            r#"{"kind":"ground_chosen","name":"gull white","#.to_string()
                + r#""text":"the ground is gull white; --ground sets another colour","#
                + r#""parts":["the ground is gull white; ",{"option":"ground"},"#
                + r#"" sets another colour"]}"#
        );
    }
}
