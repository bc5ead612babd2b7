//! The JSON schemas of what the program prints, so that a script needs no copy of the repository.

/// A document that the program prints, and what may stand in it.
#[derive(Clone, Copy, Debug)]
pub struct Schema {
    /// The document, as in `"format": "ringout-NAME"`.
    pub name: &'static str,
    /// The command that prints it.
    pub command: &'static str,
    /// The schema itself, JSON Schema 2020-12.
    pub text: &'static str,
}

/// Every document that has one, by name.
pub const ALL: [Schema; 5] = [
    Schema {
        name: "directory",
        command: "ringout directory PLAN --format json",
        text: include_str!("../../grammar/directory.schema.json"),
    },
    Schema {
        name: "figures",
        command: "ringout figures PLAN --format json",
        text: include_str!("../../grammar/figures.schema.json"),
    },
    Schema {
        name: "report",
        command: "ringout check PLAN… --format json",
        text: include_str!("../../grammar/report.schema.json"),
    },
    Schema {
        name: "takeoff",
        command: "ringout takeoff PLAN --format json",
        text: include_str!("../../grammar/takeoff.schema.json"),
    },
    Schema {
        name: "wires",
        command: "ringout wires PLAN --format json",
        text: include_str!("../../grammar/wires.schema.json"),
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// No schema of the folder is forgotten, and each is of the document that it is named for.
    #[test]
    fn every_schema_of_the_repository_is_here() {
        let folder = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/grammar")).unwrap();
        let names = folder.map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
        let mut known: Vec<String> = names.filter_map(|n| n.strip_suffix(".schema.json").map(str::to_string)).collect();
        known.sort();
        assert_eq!(known, ALL.map(|s| s.name));
        for schema in ALL {
            let document: serde_json::Value = serde_json::from_str(schema.text).unwrap();
            assert_eq!(document["properties"]["format"]["const"], format!("ringout-{}", schema.name));
        }
    }
}
