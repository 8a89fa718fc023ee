//! Numbered pieces of work on as many cores as there are; the answer does not depend on how many.

use crate::error::Fault;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Does `work` for each number below `count` and gives the results in order. `begin` makes what each core keeps to
/// itself; `progress` is told how many of how many are done. Under wasm32 there is one core, and no thread.
///
/// # Errors
/// The first [`Fault`] of `begin` or `work`.
pub(crate) fn each<S, T: Send>(
    count: usize,
    progress: &mut impl FnMut(usize, usize),
    begin: impl Fn() -> Result<S, Fault> + Sync,
    work: impl Fn(&S, usize) -> Result<T, Fault> + Sync,
) -> Result<Vec<T>, Fault> {
    let cores =
        if cfg!(target_arch = "wasm32") { 1 } else { std::thread::available_parallelism().map_or(1, usize::from) };
    let next = AtomicUsize::new(0);
    let share = |told: &mut dyn FnMut(usize)| -> Result<Vec<(usize, T)>, Fault> {
        let own = begin()?;
        let mut done = Vec::new();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= count {
                return Ok(done);
            }
            told(number);
            done.push((number, work(&own, number)?));
        }
    };
    let mut numbered = std::thread::scope(|scope| {
        let others: Vec<_> = (1..cores).map(|_| scope.spawn(|| share(&mut |_| ()))).collect();
        let mut all = share(&mut |number| progress(number, count))?;
        for other in others {
            // A panic in a helper thread is our own fault and goes on as one.
            all.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))?);
        }
        Ok::<_, Fault>(all)
    })?;
    progress(count, count);
    numbered.sort_by_key(|(number, _)| *number);
    Ok(numbered.into_iter().map(|(_, result)| result).collect())
}
