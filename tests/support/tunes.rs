//! Files of ABC cut into their tunes.

/// Every tune of a file by itself, with its `X:` line: numbers occur twice in some files.
pub fn tunes(file: &str) -> Vec<(String, String)> {
    let text = file.replace("\r\n", "\n").replace('\r', "\n");
    let mut tunes: Vec<(String, String)> = Vec::new();
    for line in text.split_inclusive('\n') {
        if line.starts_with("X:") {
            tunes.push((line.trim().to_owned(), String::new()));
        }
        if let Some((_, tune)) = tunes.last_mut() {
            tune.push_str(line);
        }
    }
    tunes
}
