/// A handbook's chart as a table: straight between its rows, held at its ends.
pub(crate) fn look_up<T: Copy>(table: &[T], x: f64, key: fn(T) -> f64, value: impl Fn(T) -> f64) -> f64 {
    let last = table.len() - 1;
    let i = table.iter().position(|&row| key(row) > x).unwrap_or(last).max(1);
    let (a, b) = (table[i - 1], table[i]);
    let t = ((x - key(a)) / (key(b) - key(a))).clamp(0.0, 1.0);
    value(a) + (value(b) - value(a)) * t
}

#[cfg(test)]
mod tests {
    use super::look_up;

    #[test]
    fn tables_are_read_between_and_held_at_the_ends() {
        let table = [(0.5, 1.0), (1.0, 2.0), (3.0, 0.0)];
        let at = |x| look_up(&table, x, |r| r.0, |r| r.1);
        assert_eq!([at(0.1), at(0.75), at(2.5), at(9.0)], [1.0, 1.5, 0.5, 0.0]);
    }
}
