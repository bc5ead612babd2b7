use crate::law::syntax::Cite;

/// Where the code says so, for one edition or for several possible ones: edition and section, or
/// `first edition to last edition: section`. A number that was not met in a
/// public text says so; where none is known the edition stands alone and says that.
pub fn citations(cites: &[Cite], editions: &[i64]) -> Vec<String> {
    let mut found: Vec<(&Cite, Vec<i64>)> = Vec::new();
    for edition in editions {
        for cite in cites.iter().filter(|c| c.first <= *edition && *edition <= c.last) {
            match found.iter_mut().find(|(c, _)| std::ptr::eq(*c, cite)) {
                Some((_, years)) => years.push(*edition),
                None => found.push((cite, vec![*edition])),
            }
        }
    }
    found.into_iter().map(|(cite, years)| citation(cite, &years, editions.len() == 1)).collect()
}

fn citation(cite: &Cite, years: &[i64], is_only: bool) -> String {
    let which = match (years.first(), years.last()) {
        (Some(first), Some(last)) if first != last => format!("NEC {first} to NEC {last}"),
        (Some(only), _) => format!("NEC {only}"),
        _ => "NEC".to_string(),
    };
    let colon = if is_only { "" } else { ":" };
    if cite.sections.is_empty() {
        return format!("{which}{colon} section not known");
    }
    let doubt = if cite.is_memory { " (section from memory)" } else { "" };
    format!("{which}{colon} {}{doubt}", cite.sections.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_edition_or_several() {
        let cite = |first, last, section: &str, is_memory| Cite {
            first,
            last,
            sections: if section.is_empty() { vec![] } else { vec![section.to_string()] },
            is_memory,
        };
        let all = [cite(1984, 1990, "A.1", false), cite(1993, 1993, "B.2", true), cite(1996, 1996, "", false)];
        assert_eq!(citations(&all, &[1987]), ["NEC 1987 A.1"]);
        assert_eq!(citations(&all, &[1993]), ["NEC 1993 B.2 (section from memory)"]);
        assert_eq!(citations(&all, &[1996]), ["NEC 1996 section not known"]);
        assert_eq!(
            citations(&all, &[1984, 1987, 1993]),
            ["NEC 1984 to NEC 1987: A.1", "NEC 1993: B.2 (section from memory)"]
        );
    }
}
