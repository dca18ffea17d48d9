//! The fields that each template finds, as a page made from the types that fill them.
//!
//! A field is named by its path, as a template writes it, and a part that stands in several places is spelled out where it comes first.

use std::{collections::BTreeMap, fmt::Write as _};

use schemars::{JsonSchema, SchemaGenerator};
use serde_json::Value;

use hillfolio_core::ledger::catalogue;

use crate::typeset::data::{
    acquittal::Acquittal, corrections, field_book, offset::Offset, plan::PlanTree, portfolio,
    printed::Printed, report::Report, sheet::Sheet, sources::Sources, workings::Book,
};

/// What stands above the fields.
const HEAD: &str = "\
# What a template finds

Each template reads `sys.inputs.data`, a tree of values that are ready to print, and `sys.inputs.images`, by key the bytes of a picture or
the path of a drawing. A template lays out; it works nothing out. `hillfolio data FOLDER DOCUMENT` prints the tree of a folder.

Where templates of your own stand in, `data.figures` holds every figure of the ledger by its id besides, such as
`sys.inputs.data.figures.at(\"{id}\").text`.

This page is made from the program's types; `[]` is each item of an array, `{}` each value of a dictionary.

## A figure

";

/// The page, in Markdown.
#[must_use]
pub(crate) fn page() -> String {
    let mut page = Page::new();
    page.template::<Report<Acquittal>>("acquittal.typ");
    page.template::<Report<Offset>>("offset.typ");
    page.template::<PlanTree>("plan.typ");
    page.template::<Sources>("sources.typ");
    page.template::<Book>("workings.typ");
    page.template::<Sheet>("map-sheet.typ");
    page.template::<portfolio::Report>("portfolio.typ");
    page.template::<field_book::Book>("field-book.typ");
    page.template::<corrections::List>("corrections.typ");
    page.text
}

/// The page so far.
struct Page {
    generator: SchemaGenerator,
    text: String,
    /// Where each part is spelled out, by the name of its type.
    told: BTreeMap<String, String>,
    template: &'static str,
}

impl Page {
    fn new() -> Page {
        let mut page = Page {
            generator: SchemaGenerator::default(),
            text: HEAD.replace("{id}", catalogue::SURVIVAL.whole().as_str()),
            told: BTreeMap::new(),
            template: "",
        };
        let figure = page.generator.root_schema_for::<Printed>().to_value();
        page.fields(&figure, "figure", 0);
        page
    }

    /// The fields of `template`, which receives a `Tree`.
    fn template<Tree: JsonSchema>(&mut self, template: &'static str) {
        self.template = template;
        // Nothing but the generator asks for memory here, and text takes whatever is written to it.
        let _ = write!(self.text, "\n## `{template}`\n\n");
        let schema = self.generator.root_schema_for::<Tree>().to_value();
        self.fields(&schema, "", 0);
    }

    /// The fields of the object `schema`, whose path is `of`.
    fn fields(&mut self, schema: &Value, of: &str, depth: usize) {
        let parts = schema.get("allOf").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
        let objects = std::iter::once(schema).chain(parts);
        let properties = objects.filter_map(|object| object.get("properties")?.as_object()).flatten();
        for (name, field) in properties {
            let path = if of.is_empty() { name.clone() } else { format!("{of}.{name}") };
            self.field(field, &path, depth);
        }
    }

    fn field(&mut self, field: &Value, path: &str, depth: usize) {
        let Shape { mut words, steps, part, none } = self.shape(field);
        let inner = format!("{path}{steps}");
        let mut spelled_out = None;
        if let Some(name) = part {
            match self.told.get(&name) {
                Some(place) => words = words.replace("fields", &format!("fields as {place}")),
                None => {
                    self.told.insert(name.clone(), format!("`{inner}` of `{}`", self.template));
                    spelled_out = self.generator.definitions().get(&name).cloned();
                }
            }
        }
        let none = if none { ", or none" } else { "" };
        let about = field.get("description").and_then(Value::as_str).unwrap_or_default().replace('\n', " ");
        let about = about.trim_end_matches('.');
        let stop = if about.is_empty() { "" } else { ": " };
        let _ = writeln!(self.text, "{}- `{path}` ({words}{none}){stop}{about}", "  ".repeat(depth));
        if let Some(part) = spelled_out {
            self.fields(&part, &inner, depth + 1);
        }
    }

    /// What `schema` holds, in words.
    fn shape(&self, schema: &Value) -> Shape {
        if let Some(name) = schema.get("$ref").and_then(Value::as_str) {
            return self.named(name.rsplit('/').next().unwrap_or(name));
        }
        for several in ["anyOf", "oneOf"] {
            if let Some(choices) = schema.get(several).and_then(Value::as_array) {
                let is_none = |choice: &&Value| choice.get("type").and_then(Value::as_str) == Some("null");
                let none = choices.iter().any(|choice| is_none(&choice));
                let mut shapes = choices.iter().filter(|choice| !is_none(choice)).map(|one| self.shape(one));
                let Some(first) = shapes.next() else { continue };
                let words =
                    shapes.fold(first.words.clone(), |words, other| format!("{words} or {}", other.words));
                return Shape { words, none: none || first.none, ..first };
            }
        }
        if let Some(items) = schema.get("prefixItems").and_then(Value::as_array) {
            let each: Vec<String> = items.iter().map(|item| self.shape(item).words).collect();
            return Shape::plain(&format!("array of {}", each.join(", ")));
        }
        let types: Vec<&str> = match schema.get("type") {
            Some(Value::String(one)) => vec![one.as_str()],
            Some(Value::Array(several)) => several.iter().filter_map(Value::as_str).collect(),
            _ => Vec::new(),
        };
        let none = types.contains(&"null");
        let kind = types.into_iter().find(|kind| *kind != "null").unwrap_or("value");
        let shape = match kind {
            "array" => {
                let item = schema.get("items").map(|item| self.shape(item)).unwrap_or_default();
                Shape {
                    words: format!("array of {}", item.words),
                    steps: format!("[]{}", item.steps),
                    ..item
                }
            }
            "object" => match schema.get("additionalProperties").filter(|value| value.is_object()) {
                Some(values) => {
                    let value = self.shape(values);
                    Shape {
                        words: format!("dictionary of {}", value.words),
                        steps: format!("{{}}{}", value.steps),
                        ..value
                    }
                }
                None => Shape::plain("dictionary"),
            },
            "string" => match schema.get("enum").and_then(Value::as_array) {
                Some(words) => {
                    let words: Vec<String> = words.iter().map(Value::to_string).collect();
                    Shape::plain(&words.join(" or "))
                }
                None => Shape::plain("text"),
            },
            "integer" => Shape::plain("whole number"),
            "number" => Shape::plain("number"),
            "boolean" => Shape::plain("true or false"),
            other => Shape::plain(other),
        };
        Shape { none: none || shape.none && kind != "array", ..shape }
    }

    /// What the part of that name holds: fields, or plain words.
    fn named(&self, name: &str) -> Shape {
        let definition = self.generator.definitions().get(name);
        let has_fields = definition.is_some_and(|part| part.get("properties").is_some());
        match definition {
            Some(definition) if !has_fields => self.shape(definition),
            _ if *name == *Printed::schema_name() => Shape::plain("figure"),
            _ => Shape { words: "fields".to_owned(), part: Some(name.to_owned()), ..Shape::default() },
        }
    }
}

/// What a field holds.
#[derive(Default)]
struct Shape {
    /// In words.
    words: String,
    /// What a path goes through to reach its parts.
    steps: String,
    /// The name of the type whose fields it has.
    part: Option<String>,
    /// Whether it may be none.
    none: bool,
}

impl Shape {
    fn plain(words: &str) -> Shape {
        Shape { words: words.to_owned(), ..Shape::default() }
    }
}
