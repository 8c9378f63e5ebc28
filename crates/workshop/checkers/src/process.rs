//! Running a program to its end with given input, both outputs and a time limit.

use std::io::{Read, Write};
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::error::{Error, Kind};

/// How often to ask whether the program has ended.
const POLL: Duration = Duration::from_millis(10);

/// Runs `command` to its end, feeding it `input`; stops it after `limit`.
///
/// The input is written and both outputs are read at the same time, so a program
/// that answers before it has read everything cannot lock up.
pub(crate) fn run(mut command: Command, input: &[u8], limit: Duration) -> Result<Output, Error> {
    let program = command.get_program().to_string_lossy().into_owned();
    let broken = |cause: &dyn std::fmt::Display| {
        Error::from(Kind::Start {
            program: program.clone(),
            cause: cause.to_string(),
        })
    };
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|e| broken(&e))?;
    let (Some(mut to), Some(out), Some(err)) =
        (child.stdin.take(), child.stdout.take(), child.stderr.take())
    else {
        return Err(broken(&"its input and outputs are not connected"));
    };
    thread::scope(|scope| {
        // A program may end without reading all its input: then the pipe breaks,
        // and its exit status and what it wrote tell the story.
        scope.spawn(move || drop(to.write_all(input)));
        let stdout = scope.spawn(move || read_all(out));
        let stderr = scope.spawn(move || read_all(err));
        let started = Instant::now();
        let status = loop {
            match child.try_wait().map_err(|e| broken(&e))? {
                Some(status) => break status,
                None if started.elapsed() < limit => thread::sleep(POLL),
                None => {
                    child.kill().map_err(|e| broken(&e))?;
                    child.wait().map_err(|e| broken(&e))?;
                    return Err(Kind::Slow {
                        program: program.clone(),
                        seconds: limit.as_secs(),
                    }
                    .into());
                }
            }
        };
        let collect = |text: thread::Result<std::io::Result<Vec<u8>>>| {
            text.map_err(|_| broken(&"reading its output failed"))?
                .map_err(|e| broken(&e))
        };
        Ok(Output {
            status,
            stdout: collect(stdout.join())?,
            stderr: collect(stderr.join())?,
        })
    })
}

fn read_all(mut from: impl Read) -> std::io::Result<Vec<u8>> {
    let mut all = Vec::new();
    from.read_to_end(&mut all)?;
    Ok(all)
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn input_larger_than_a_pipe_comes_back_whole() {
        let input = vec![b'x'; 1 << 20];
        let output = run(Command::new("cat"), &input, Duration::from_secs(60)).unwrap();
        assert!(output.status.success());
        assert_eq!(output.stdout, input);
    }

    #[test]
    fn a_program_that_reads_nothing_still_ends_well() {
        let input = vec![b'x'; 1 << 20];
        let output = run(Command::new("true"), &input, Duration::from_secs(60)).unwrap();
        assert!(output.status.success());
    }

    #[test]
    fn a_program_that_does_not_end_is_stopped_and_named() {
        let mut command = Command::new("sleep");
        command.arg("600");
        let error = run(command, b"", Duration::from_millis(50)).unwrap_err();
        assert!(error.to_string().starts_with("sleep had not ended"));
    }

    #[test]
    fn a_program_that_is_not_there_is_named() {
        let command = Command::new("no-such-program-anywhere");
        let error = run(command, b"", Duration::from_secs(1)).unwrap_err();
        assert!(error.to_string().contains("no-such-program-anywhere"));
    }
}
