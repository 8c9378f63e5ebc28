//! Running a loop with the widest vectors that the machine has.

/// Work whose `run` is compiled once for every vector width and chosen when it starts.
///
/// A type rather than a closure, because only a method can be forced inline all the way into the function that has
/// the machine's features; a closure is reached through a shim that is not.
pub(crate) trait Work {
    type Output;
    fn run(self) -> Self::Output;
}

struct Dispatched<T>(T);

impl<T: Work> pulp::NullaryFnOnce for Dispatched<T> {
    type Output = T::Output;

    #[inline(always)]
    fn call(self) -> T::Output {
        self.0.run()
    }
}

/// Runs `work`; the result is the same for every width.
pub(crate) fn dispatch<T: Work>(work: T) -> T::Output {
    pulp::Arch::new().dispatch(Dispatched(work))
}

/// Gives back the number of a row, unseen by the optimiser.
///
/// A loop over rows, each of a few vectors, should become vectors along the rows. Left to itself the compiler takes
/// such a loop for one over short columns, and gathers one lane from each of many rows. It never looks across this
/// call, which costs a store and a load beside the loop's own chain of operations.
#[inline(always)]
pub(crate) fn row(number: usize) -> usize {
    std::hint::black_box(number)
}
