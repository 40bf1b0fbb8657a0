//! Blends that come after others: an order in which each finds its lead complete, or the loops
//! that make one impossible.

/// Every place of `after` behind the one it names: by length of chain, then by number, so that the
/// order is a property of the mix alone.
///
/// # Errors
/// Every loop, each once, from its smallest member on; each member names the next.
pub(crate) fn order(after: &[Option<usize>]) -> Result<Vec<usize>, Vec<Vec<usize>>> {
    let loops: Vec<_> = (0..after.len()).filter_map(|start| loop_from(after, start)).collect();
    if !loops.is_empty() {
        return Err(loops);
    }
    let mut order: Vec<usize> = (0..after.len()).collect();
    order.sort_by_key(|&place| (depth(after, place), place));
    Ok(order)
}

/// The loop whose smallest member is `start`, if there is one.
fn loop_from(after: &[Option<usize>], start: usize) -> Option<Vec<usize>> {
    let mut members = vec![start];
    let mut next = after[start]?;
    while next != start {
        if next < start || members.contains(&next) {
            return None;
        }
        members.push(next);
        next = after[next]?;
    }
    Some(members)
}

/// How many others stand before this one. Only for chains that end.
fn depth(after: &[Option<usize>], place: usize) -> usize {
    core::iter::successors(after[place], |&next| after[next]).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leads_come_before_those_who_read_them() {
        // 0 after 2, 2 after 3
        assert_eq!(order(&[Some(2), None, Some(3), None]), Ok(vec![1, 3, 2, 0]));
    }

    #[test]
    fn every_loop_is_told_once_from_its_smallest_member() {
        // 0 hangs on a loop without belonging to it; 4 waits for itself
        let after = [Some(1), Some(3), Some(1), Some(2), Some(4)];
        assert_eq!(order(&after), Err(vec![vec![1, 3, 2], vec![4]]));
    }
}
