//! Lines as the script that judges labels (`checkers/line_labels.py`) wants them.

use linewright::Line;
use linewright::chart::Harmony;
use serde_json::{Value, json};

/// A line as the script that judges labels wants it.
pub fn labelled(line: &Line) -> Value {
    let (mut chords, mut notes): (Vec<Value>, Vec<Value>) = (Vec::new(), Vec::new());
    for (slot, note) in line.plan.slots.iter().zip(&line.reading.notes) {
        // The chord as the chart has it at this beat.
        let harmony = line.timeline.bars[slot.bar].harmony_at(slot.beat);
        let Some(Harmony::Chord(chord)) = harmony else {
            panic!("a note over no chord");
        };
        let xml = chord.musicxml_kind();
        let degrees: Vec<Value> = xml
            .degrees
            .iter()
            .map(|d| json!({ "value": d.value, "alter": d.alter, "type": d.kind.name() }))
            .collect();
        let bass = chord.bass.map(|bass| bass.to_string());
        let harmony = json!({ "root": chord.root.to_string(), "kind": xml.kind,
                              "degrees": degrees, "bass": bass });
        if chords.last() != Some(&harmony) {
            chords.push(harmony);
        }
        let functions: Vec<Value> = note
            .functions
            .iter()
            .map(|f| json!({ "name": f.name.long, "from_below": f.from_below }))
            .collect();
        notes.push(
            json!({ "name": note.note.to_string(), "midi": note.pitch.midi(),
                           "chord": chords.len() - 1,
                   "degree": { "number": note.degree.number, "alter": note.degree.alter },
                   "functions": functions }),
        );
    }
    json!({ "chords": chords, "notes": notes })
}
