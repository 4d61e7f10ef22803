//! A table keyed by an index of the network.

use std::ops::Index;

use super::model::{JointIx, PieceIx, RunIx, TrapIx};

/// An index that counts from nought without large gaps.
pub trait Dense: Copy {
    /// As a number.
    fn number(self) -> usize;
}

impl Dense for PieceIx {
    fn number(self) -> usize {
        self.index()
    }
}
impl Dense for JointIx {
    fn number(self) -> usize {
        self.index()
    }
}
impl Dense for RunIx {
    fn number(self) -> usize {
        self.0
    }
}
impl Dense for TrapIx {
    fn number(self) -> usize {
        self.0
    }
}

/// A table keyed by an index of the network, in the order of the index: a list with gaps. A stage
/// looks things up many times for every piece, and a list finds them at once.
#[derive(Clone, Debug)]
pub struct Table<K, V> {
    rows: Vec<Option<(K, V)>>,
}

impl<K, V> Default for Table<K, V> {
    fn default() -> Self {
        Table { rows: Vec::new() }
    }
}

impl<K: Dense, V> Table<K, V> {
    /// An empty one.
    pub fn new() -> Self {
        Table::default()
    }
    /// What stands at an index.
    pub fn get(&self, key: &K) -> Option<&V> {
        let row = self.rows.get(key.number())?.as_ref()?;
        Some(&row.1)
    }
    /// What stands at an index, to change it.
    pub fn get_mut(&mut self, key: &K) -> Option<&mut V> {
        let row = self.rows.get_mut(key.number())?.as_mut()?;
        Some(&mut row.1)
    }
    /// Whether anything stands at an index.
    pub fn contains_key(&self, key: &K) -> bool {
        self.get(key).is_some()
    }
    /// Puts something at an index; gives what stood there.
    pub fn insert(&mut self, key: K, value: V) -> Option<V> {
        let row = self.row(key).replace((key, value));
        row.map(|r| r.1)
    }
    /// Takes what stands at an index.
    pub fn remove(&mut self, key: &K) -> Option<V> {
        let row = self.rows.get_mut(key.number())?.take();
        row.map(|r| r.1)
    }
    /// What stands at an index, made if there is nothing.
    pub fn or_insert_with(&mut self, key: K, make: impl FnOnce() -> V) -> &mut V {
        &mut self.row(key).get_or_insert_with(|| (key, make())).1
    }
    /// What stands at an index, the default if there is nothing.
    pub fn or_default(&mut self, key: K) -> &mut V
    where
        V: Default,
    {
        self.or_insert_with(key, V::default)
    }
    /// All of it.
    pub fn iter(&self) -> Iter<'_, K, V> {
        self.into_iter()
    }
    /// All of it, to change it.
    pub fn iter_mut(&mut self) -> impl Iterator<Item = (&K, &mut V)> {
        self.rows.iter_mut().flatten().map(|r| (&r.0, &mut r.1))
    }
    /// Every index at which something stands.
    pub fn keys(&self) -> impl Iterator<Item = &K> {
        self.iter().map(|r| r.0)
    }
    /// Everything that stands somewhere.
    pub fn values(&self) -> impl Iterator<Item = &V> {
        self.iter().map(|r| r.1)
    }

    fn row(&mut self, key: K) -> &mut Option<(K, V)> {
        let at = key.number();
        if at >= self.rows.len() {
            self.rows.resize_with(at + 1, || None);
        }
        &mut self.rows[at]
    }
}

/// Goes through a [`Table`].
pub type Iter<'a, K, V> = std::iter::Map<
    std::iter::Flatten<std::slice::Iter<'a, Option<(K, V)>>>,
    fn(&'a (K, V)) -> (&'a K, &'a V),
>;

impl<'a, K, V> IntoIterator for &'a Table<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter = Iter<'a, K, V>;
    fn into_iter(self) -> Self::IntoIter {
        self.rows.iter().flatten().map(|r| (&r.0, &r.1))
    }
}

impl<K: Dense, V> FromIterator<(K, V)> for Table<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(rows: I) -> Self {
        let mut table = Table::default();
        for (key, value) in rows {
            table.insert(key, value);
        }
        table
    }
}

impl<K: Dense, V> Index<&K> for Table<K, V> {
    type Output = V;
    /// What stands at an index where something is known to stand.
    fn index(&self, key: &K) -> &V {
        match self.get(key) {
            Some(value) => value,
            None => panic!("nothing stands at {}", key.number()),
        }
    }
}

/// Gaps at the end do not count.
impl<K: PartialEq, V: PartialEq> PartialEq for Table<K, V> {
    fn eq(&self, other: &Self) -> bool {
        self.into_iter().eq(other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_what_it_is_given_in_the_order_of_the_index() {
        let mut table: Table<TrapIx, &str> = Table::new();
        assert_eq!(table.insert(TrapIx(4), "d"), None);
        assert_eq!(table.insert(TrapIx(1), "a"), None);
        assert_eq!(table.insert(TrapIx(1), "b"), Some("a"));
        *table.or_insert_with(TrapIx(2), || "c") = "e";
        assert_eq!(table[&TrapIx(2)], "e");
        assert!(table.contains_key(&TrapIx(4)) && !table.contains_key(&TrapIx(3)));
        assert_eq!(table.values().copied().collect::<Vec<_>>(), ["b", "e", "d"]);
        let same: Table<TrapIx, &str> = table.iter().map(|(k, v)| (*k, *v)).collect();
        assert_eq!(same, table);
        assert_eq!(table.remove(&TrapIx(4)), Some("d"));
        assert_eq!(table.remove(&TrapIx(40)), None);
        assert_ne!(same, table);
        assert_eq!(table.keys().map(|k| k.0).collect::<Vec<_>>(), [1, 2]);
    }
}
