//! What a template did wrong, where, and what would put it right.

use std::fmt;

/// A place in a template.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The template's path, such as `/parts/page.typ`.
    pub template: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.template, self.line, self.column)
    }
}

/// One thing the typesetter complained of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateDiagnostic {
    /// Where; `None` where the typesetter can't say.
    pub spot: Option<Spot>,
    /// What is wrong.
    pub message: String,
    /// What would put it right.
    pub hints: Vec<String>,
    /// How the typesetter got there, innermost call first.
    pub trace: Vec<String>,
}

impl TemplateDiagnostic {
    /// A diagnostic without a place.
    pub(crate) fn nowhere(message: impl fmt::Display) -> TemplateDiagnostic {
        TemplateDiagnostic { spot: None, message: message.to_string(), hints: Vec::new(), trace: Vec::new() }
    }
}

impl fmt::Display for TemplateDiagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(spot) = &self.spot {
            write!(f, "{spot}: ")?;
        }
        f.write_str(&self.message)?;
        for step in &self.trace {
            write!(f, "\n  {step}")?;
        }
        for hint in &self.hints {
            write!(f, "\n  help: {hint}")?;
        }
        Ok(())
    }
}

/// A typesetting error: a document that could not be set, and what the typesetter complained of.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{document} could not be typeset:{}", diagnostics.iter().map(|m| format!("\n{m}")).collect::<String>())]
pub struct TypesettingError {
    /// The file that was being made.
    pub document: String,
    /// Everything the typesetter complained of.
    pub diagnostics: Vec<TemplateDiagnostic>,
}
