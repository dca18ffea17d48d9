//! Memory as the bound on what runs at once: a task waits until what it may need is free.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use sysinfo::{ProcessRefreshKind, ProcessesToUpdate, System};

const MEBIBYTE: u64 = 1 << 20;

/// What a worker holds for any project: program, faces, typesetter's memory. Measured at 0.2 to 0.3 GB on the samples.
const WORKER: u64 = 300 * MEBIBYTE;

/// Bytes of memory to a byte of a table or a layer: its text, its typed rows, its figures, its sheets, its copies in the zip.
/// A generous reading of the growth seen with large folders.
const PER_BYTE: u64 = 12;

/// Bytes of memory to a byte of terrain: compressed heights unpack to some four times their size, as heights, slopes and flow.
const PER_TERRAIN_BYTE: u64 = 24;

/// Bytes of memory to a byte of the largest photo while it is decoded, turned and made small.
const PER_PHOTO_BYTE: u64 = 40;

/// Part of the free memory that is used, in hundredths.
const USED: u64 = 80;

/// Memory that is used where the system does not tell what is free.
const LITTLE: u64 = 2_048 * MEBIBYTE;

/// Memory that building a folder of these files may need at most, as an estimate from their sizes; `threads` photos are decoded
/// at once.
pub(crate) fn cost(files: &[(String, u64)], threads: usize) -> u64 {
    let (mut bytes, mut photo) = (0_u64, 0);
    for (path, size) in files {
        let ending = path.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
        match ending.as_deref() {
            Some("jpg" | "jpeg" | "png") => photo = size.saturating_mul(PER_PHOTO_BYTE).max(photo),
            Some("tif" | "tiff" | "asc") => bytes += size.saturating_mul(PER_TERRAIN_BYTE),
            _ => bytes += size.saturating_mul(PER_BYTE),
        }
    }
    WORKER.saturating_add(bytes).saturating_add(photo.saturating_mul(threads as u64))
}

/// Memory that may be used: most of what is free on the machine or, where less, in the group of processes that it is given to.
pub(crate) fn budget() -> u64 {
    let Ok(mut system) = System::new() else { return LITTLE };
    system.refresh_memory();
    let free = match system.cgroup_limits() {
        Some(limits) if limits.total_memory > 0 => system.available_memory().min(limits.free_memory),
        _ => system.available_memory(),
    };
    free / 100 * USED
}

/// Memory that this process holds, in bytes; 0 where the system does not tell.
pub(crate) fn own_memory() -> u64 {
    let (Ok(own), Ok(mut system)) = (sysinfo::get_current_pid(), System::new()) else { return 0 };
    let memory = ProcessRefreshKind::nothing().with_memory();
    system.refresh_processes_specifics(ProcessesToUpdate::Some(&[own]), true, memory);
    system.process(own).map_or(0, sysinfo::Process::memory)
}

/// Memory shared out among tasks.
#[derive(Debug)]
pub(crate) struct MemoryGate {
    all: u64,
    taken: Mutex<u64>,
    returned: Condvar,
}

impl MemoryGate {
    /// A gate to `all` bytes.
    pub(crate) fn of(all: u64) -> MemoryGate {
        MemoryGate { all, taken: Mutex::new(0), returned: Condvar::new() }
    }

    /// Waits until `cost` bytes are free, and takes them. What costs more than there is gets all of it, alone.
    pub(crate) fn enter(&self, cost: u64) -> Reserved<'_> {
        let cost = cost.min(self.all);
        let mut taken = self.lock();
        while *taken > 0 && taken.saturating_add(cost) > self.all {
            taken = self.returned.wait(taken).unwrap_or_else(PoisonError::into_inner);
        }
        *taken = taken.saturating_add(cost);
        Reserved { gate: self, cost }
    }

    fn lock(&self) -> MutexGuard<'_, u64> {
        self.taken.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Memory that was taken; it is free again when this goes.
#[derive(Debug)]
pub(crate) struct Reserved<'a> {
    gate: &'a MemoryGate,
    cost: u64,
}

impl Drop for Reserved<'_> {
    fn drop(&mut self) {
        let mut taken = self.gate.lock();
        *taken = taken.saturating_sub(self.cost);
        drop(taken);
        self.gate.returned.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicU64, Ordering};

    #[test]
    fn no_more_is_taken_than_there_is_and_the_largest_runs_alone() {
        let (gate, now, most) = (MemoryGate::of(100), AtomicU64::new(0), AtomicU64::new(0));
        std::thread::scope(|scope| {
            for cost in [40, 40, 40, 70, 1000, 10, 90, 30] {
                let (gate, now, most) = (&gate, &now, &most);
                scope.spawn(move || {
                    let pass = gate.enter(cost);
                    let taken = now.fetch_add(cost.min(100), Ordering::SeqCst) + cost.min(100);
                    most.fetch_max(taken, Ordering::SeqCst);
                    std::thread::sleep(std::time::Duration::from_millis(5));
                    now.fetch_sub(cost.min(100), Ordering::SeqCst);
                    drop(pass);
                });
            }
        });
        assert!(most.load(Ordering::SeqCst) <= 100);
        assert_eq!(*gate.lock(), 0);
    }

    #[test]
    fn a_large_folder_costs_more_than_a_small_one() {
        let file = |path: &str, bytes| (path.to_owned(), bytes);
        let small = cost(&[file("plantings.csv", 4_000), file("photos/P1/a.jpg", 300_000)], 1);
        let large = cost(&[file("plantings.csv", 40_000_000), file("terrain.TIF", 9_000_000)], 1);
        assert!(WORKER < small && small < WORKER + 20 * MEBIBYTE, "{small}");
        assert!(large > WORKER + 600 * MEBIBYTE, "{large}");
    }

    #[test]
    fn the_machine_tells_its_memory() {
        assert!(budget() > 0);
    }
}
