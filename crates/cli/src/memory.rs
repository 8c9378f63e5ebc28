//! What fits into memory, asked before a line is made: an allocation that fails would end the
//! program without a word.

use linewright::{Choice, Timeline};

use crate::exit::Failure;

/// What may be used where it is not known what there is.
const UNKNOWN: u64 = 4 << 30;

/// What is needed besides the tables of a line.
const BESIDE: u64 = 64 << 20;

/// How lines are found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Drawn at random: all tables of a line are kept.
    Drawn,
    /// The best.
    Best,
    /// The best so many.
    Ranked,
}

impl Way {
    /// The way to a choice.
    pub fn to(choice: Choice) -> Self {
        match choice {
            Choice::Sampled { .. } => Way::Drawn,
            _ => Way::Best,
        }
    }

    /// Bytes for each beat of a bar of so many beats, at the most: a little more than was seen
    /// over charts of up to 4096 bars with another chord on every beat. In bars of up to four
    /// beats that were 136 kB for a drawn line, 44 kB for the best one and 67 kB for ranked ones;
    /// in longer bars, where orders of notes are longer too, 440, 56 and 105 kB.
    fn of_a_beat(self, beats: u8) -> u64 {
        match (self, beats <= 4) {
            (Way::Drawn, true) => 150_000,
            (Way::Drawn, false) => 480_000,
            (Way::Best, true) => 50_000,
            (Way::Best, false) => 70_000,
            (Way::Ranked, true) => 80_000,
            (Way::Ranked, false) => 120_000,
        }
    }

    /// Bytes for the tables of a line.
    fn needs(self, timeline: &Timeline) -> u64 {
        let bars = timeline.bars.iter();
        let of_a_bar = |beats: u8| u64::from(beats) * self.of_a_beat(beats);
        BESIDE + bars.map(|bar| of_a_bar(bar.beats)).sum::<u64>()
    }
}

/// Checks that a line fits.
pub fn check(timeline: &Timeline, way: Way) -> Result<(), Failure> {
    match refusal(timeline, way, free()) {
        None => Ok(()),
        Some(message) => Err(Failure::usage(message)),
    }
}

/// How many lines fit at once; one at least.
pub fn at_once(timeline: &Timeline, way: Way) -> usize {
    let count = free() / way.needs(timeline);
    usize::try_from(count).unwrap_or(usize::MAX).max(1)
}

/// Why a line does not fit where so many bytes are free.
fn refusal(timeline: &Timeline, way: Way, free: u64) -> Option<String> {
    let needed = way.needs(timeline);
    if needed <= free {
        return None;
    }
    let bars = timeline.bars.len();
    let share = u128::from(free.saturating_sub(BESIDE));
    let most = bars as u128 * share / u128::from(needed - BESIDE).max(1);
    let form = bars / timeline.choruses.max(1);
    let choruses = most / form.max(1) as u128;
    let fit = match choruses {
        1.. if timeline.choruses > 1 => {
            format!("{most} bars fit, so ask for at most {choruses} --choruses")
        }
        _ => format!("{most} bars fit, so cut the chart into pieces"),
    };
    let other = match way {
        Way::Best => "",
        Way::Drawn | Way::Ranked => "; --best needs less",
    };
    Some(format!(
        "a line of {bars} bars may need {} of memory, and {} can be had\n  hint: about {fit}{other}",
        size(needed),
        size(free)
    ))
}

/// Bytes as people read them.
fn size(bytes: u64) -> String {
    format!("{} MB", bytes.div_ceil(1_000_000))
}

/// How many bytes can be had: what the machine, the group of processes and the process itself
/// leave, whatever is least.
fn free() -> u64 {
    let known = [machine(), group(), process()];
    known.into_iter().flatten().min().unwrap_or(UNKNOWN)
}

/// The first number after a name in a file of the system.
fn number(file: impl AsRef<std::path::Path>, name: &str) -> Option<u64> {
    let text = std::fs::read_to_string(file).ok()?;
    let rest = text.lines().find_map(|line| line.strip_prefix(name))?;
    rest.split_whitespace().next()?.parse().ok()
}

/// What the machine has free. No file of Linux is there on other systems.
fn machine() -> Option<u64> {
    Some(number("/proc/meminfo", "MemAvailable:")? * 1024)
}

/// What the limit of the address space (`ulimit -v`) leaves.
fn process() -> Option<u64> {
    let limit = number("/proc/self/limits", "Max address space")?;
    let used = number("/proc/self/status", "VmSize:")? * 1024;
    Some(limit.saturating_sub(used))
}

/// What the limits of the control groups leave, as in a container.
fn group() -> Option<u64> {
    const ROOT: &str = "/sys/fs/cgroup";
    let groups = std::fs::read_to_string("/proc/self/cgroup").ok()?;
    let own = groups.lines().find_map(|line| line.strip_prefix("0::/"))?;
    let own = std::path::Path::new(ROOT).join(own);
    let left = |group: &std::path::Path| {
        let most = number(group.join("memory.max"), "")?;
        let used = number(group.join("memory.current"), "")?;
        // What is kept of files only until the room is needed.
        let files = number(group.join("memory.stat"), "inactive_file").unwrap_or(0);
        Some(most.saturating_sub(used.saturating_sub(files)))
    };
    let groups = own.ancestors().take_while(|group| group.starts_with(ROOT));
    groups.filter_map(left).min()
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright::Chart;

    fn timeline(choruses: usize) -> Timeline {
        let chart = Chart::parse("long", b"time: 4/4\n| C | F | G | C |\n").unwrap();
        chart.unroll().unwrap().choruses(choruses).unwrap()
    }

    #[test]
    fn a_line_that_does_not_fit_is_told_how_many_bars_and_choruses_would() {
        let long = timeline(1000);
        // 600 kB a bar, and 64 MiB beside.
        assert_eq!(refusal(&long, Way::Drawn, BESIDE + 2_400_000_000), None);
        let told = refusal(&long, Way::Drawn, BESIDE + 600_000_000).unwrap();
        assert_eq!(
            told,
            "a line of 4000 bars may need 2468 MB of memory, and 668 MB can be had\n  hint: about 1000 bars fit, so ask for at most 250 --choruses; --best needs less"
        );
        let told = refusal(&timeline(1), Way::Best, BESIDE + 500_000).unwrap();
        assert!(
            told.ends_with("about 2 bars fit, so cut the chart into pieces"),
            "{told}"
        );
        let told = refusal(&long, Way::Best, 0).unwrap();
        assert!(told.contains("0 bars fit"), "{told}");
    }

    #[test]
    fn one_line_is_always_tried_and_more_where_they_fit() {
        assert!(at_once(&timeline(1), Way::Drawn) >= 1);
        assert!(free() > 0);
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn the_machine_says_what_it_has() {
        assert!(machine().is_some_and(|bytes| bytes > 1 << 20));
        assert_eq!(number("/proc/self/status", "no such name"), None);
    }
}
