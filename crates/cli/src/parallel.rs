//! Work on many things at once, and their results in order.

use std::num::NonZero;
use std::sync::mpsc::sync_channel;
use std::thread::{available_parallelism, scope};

use crate::exit::Failure;

/// How many threads can run at once.
pub fn processors() -> usize {
    available_parallelism().map_or(1, NonZero::get)
}

/// Makes things number 0 to `count` on some threads and takes them in order, until one is not
/// taken. `worker` makes what a thread works with; thread k of n makes every nth thing from the
/// kth on and runs at most two things ahead, so memory stays bounded. What is made must not
/// depend on the number of threads.
pub fn in_order<W, T: Send>(
    count: usize,
    threads: usize,
    worker: impl Fn() -> W + Sync,
    make: impl Fn(&mut W, usize) -> T + Sync,
    take: &mut dyn FnMut(T) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let threads = threads.min(count).max(1);
    if threads == 1 {
        let mut own = worker();
        return (0..count).try_for_each(|nth| take(make(&mut own, nth)));
    }
    let (worker, make) = (&worker, &make);
    scope(|scope| {
        let receivers: Vec<_> = (0..threads)
            .map(|first| {
                let (sender, receiver) = sync_channel(1);
                scope.spawn(move || {
                    let mut own = worker();
                    for nth in (first..count).step_by(threads) {
                        // Nobody listens any more once a thing before this one was not taken.
                        if sender.send(make(&mut own, nth)).is_err() {
                            break;
                        }
                    }
                });
                receiver
            })
            .collect();
        for nth in 0..count {
            // A thread that ends early has panicked, and the scope passes that on.
            let Ok(thing) = receivers[nth % threads].recv() else {
                break;
            };
            take(thing)?;
        }
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_come_in_order_however_many_threads_make_them() {
        for (count, threads) in [(0, 3), (1, 3), (7, 1), (20, 3), (20, 64)] {
            let mut taken = Vec::new();
            let mut take = |thing| {
                taken.push(thing);
                Ok(())
            };
            in_order(count, threads, || (), |(), nth| nth * nth, &mut take).unwrap();
            let wanted: Vec<usize> = (0..count).map(|nth| nth * nth).collect();
            assert_eq!(taken, wanted, "{threads} threads");
        }
    }

    #[test]
    fn nothing_more_is_taken_after_what_fails() {
        let mut taken = 0;
        let mut take = |nth| {
            taken += 1;
            if nth == 5 {
                return Err(Failure::usage("enough"));
            }
            Ok(())
        };
        assert!(in_order(100, 4, || (), |(), nth| nth, &mut take).is_err());
        assert_eq!(taken, 6);
    }
}
