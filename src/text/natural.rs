/// C2 before C10: digits as numbers, all else as it stands.
pub fn natural(text: &str) -> Vec<(String, u64)> {
    let mut parts: Vec<(String, u64)> = Vec::new();
    let mut letters = String::new();
    let mut digits = String::new();
    for c in text.chars() {
        if !c.is_ascii_digit() && !digits.is_empty() {
            parts.push((std::mem::take(&mut letters), digits.parse().unwrap_or(u64::MAX)));
            digits.clear();
        }
        if c.is_ascii_digit() { digits.push(c) } else { letters.push(c) }
    }
    parts.push((letters, digits.parse().unwrap_or(0)));
    parts
}
