//! Parts of a box in the order in which they are worth looking at.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Parts still open: the most urgent comes first, of equals the oldest, so that the order is always the same.
pub(super) struct Queue<T> {
    heap: BinaryHeap<Entry<T>>,
    pushed: usize,
}

struct Entry<T> {
    urgency: f64,
    number: usize,
    part: T,
}

impl<T> Queue<T> {
    pub(super) fn new() -> Self {
        Self { heap: BinaryHeap::new(), pushed: 0 }
    }

    pub(super) fn push(&mut self, urgency: f64, part: T) {
        self.pushed += 1;
        self.heap.push(Entry { urgency, number: self.pushed, part });
    }

    pub(super) fn pop(&mut self) -> Option<T> {
        self.heap.pop().map(|entry| entry.part)
    }

    /// How many were ever pushed.
    pub(super) fn pushed(&self) -> usize {
        self.pushed
    }

    /// What is left, in no order.
    pub(super) fn rest(self) -> impl Iterator<Item = T> {
        self.heap.into_iter().map(|entry| entry.part)
    }
}

impl<T> Ord for Entry<T> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.urgency.total_cmp(&other.urgency).then(other.number.cmp(&self.number))
    }
}

impl<T> PartialOrd for Entry<T> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<T> PartialEq for Entry<T> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<T> Eq for Entry<T> {}
