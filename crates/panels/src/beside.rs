//! Long calculations beside the flights: on cores of their own, so that dragging stays live meanwhile.

use std::thread;

/// Does `work` with all cores but one.
pub(crate) fn beside<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    let cores = thread::available_parallelism().map_or(1, |n| n.get().saturating_sub(1).max(1));
    match rayon::ThreadPoolBuilder::new().num_threads(cores).build() {
        Ok(pool) => pool.install(work),
        // no threads to be had: then it takes its turn with the flights
        Err(_) => work(),
    }
}
