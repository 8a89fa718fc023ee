//! Which triangles share an edge.

/// One side of a triangle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Edge {
    /// Its corners, the lower number first.
    pub ends: [u32; 2],
    pub triangle: u32,
    /// Which side: from corner `side` to the next.
    pub side: u8,
    /// Whether the triangle passes it from the lower number to the higher.
    pub rising: bool,
}

/// The edges of a mesh, those between the same corners one after another.
#[derive(Debug, Clone)]
pub(crate) struct Edges(Vec<Edge>);

impl Edges {
    pub(crate) fn of(triangles: &[[u32; 3]]) -> Self {
        let mut all = Vec::with_capacity(3 * triangles.len());
        for (triangle, named) in triangles.iter().enumerate() {
            for side in 0..3_u8 {
                let (a, b) = (named[usize::from(side)], named[usize::from(side + 1) % 3]);
                all.push(Edge { ends: [a.min(b), a.max(b)], triangle: triangle as u32, side, rising: a < b });
            }
        }
        all.sort_unstable();
        Self(all)
    }

    /// The sides at each edge.
    pub(crate) fn shared(&self) -> impl Iterator<Item = &[Edge]> {
        self.0.chunk_by(|a, b| a.ends == b.ends)
    }

    /// Pairs of sides at edges that have just two.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = [Edge; 2]> {
        self.shared().filter_map(|shared| if let [a, b] = shared { Some([*a, *b]) } else { None })
    }

    /// Sides that no other triangle has.
    pub(crate) fn open(&self) -> impl Iterator<Item = Edge> {
        self.shared().filter_map(|shared| if let [only] = shared { Some(*only) } else { None })
    }
}

/// Things that are put together set by set.
#[derive(Debug, Clone)]
pub(crate) struct Sets(Vec<u32>);

impl Sets {
    pub(crate) fn of(count: usize) -> Self {
        Self((0..count as u32).collect())
    }

    /// The thing that stands for the set of `one`: the one with the lowest number.
    pub(crate) fn root(&mut self, one: u32) -> u32 {
        let mut at = one;
        while self.0[at as usize] != at {
            // Halves the way for the next one who asks.
            let next = self.0[self.0[at as usize] as usize];
            self.0[at as usize] = next;
            at = next;
        }
        at
    }

    pub(crate) fn unite(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b) as usize] = a.min(b);
    }

    /// The number of its set, from 0, for each thing; sets are numbered by their first thing.
    pub(crate) fn numbered(&mut self) -> (Vec<u32>, usize) {
        let mut numbers = vec![0; self.0.len()];
        let mut count = 0;
        for one in 0..self.0.len() as u32 {
            let root = self.root(one);
            if root == one {
                numbers[one as usize] = count;
                count += 1;
            } else {
                // The root has a lower number, so that it has been here.
                numbers[one as usize] = numbers[root as usize];
            }
        }
        (numbers, count as usize)
    }
}
