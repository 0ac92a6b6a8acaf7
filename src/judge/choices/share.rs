//! Sharing out: where several places want the same piece of a stock.

use pathfinding::prelude::{Matrix, kuhn_munkres_min};
use rust_decimal::prelude::ToPrimitive as _;

use super::Choice;
use crate::model::job::Stock;

/// Places that a stock is shared out among, and pieces of it that are looked at, at most: an engine has no more valves.
const MOST_PLACES: usize = 64;
const MOST_PIECES: usize = 1_000;

/// Gives each place its piece where they want the same and there are not enough: so that as many as can be come out within their limits, and then nearest to
/// their aims. The assignment is solved by the Hungarian method.
pub(super) fn share_out(stock: &Stock, list: &mut [Choice<'_>]) {
    let is_single = |choice: &Choice<'_>| choice.candidates.iter().all(|candidate| candidate.pieces.len() == 1);
    if list.len() < 2 || list.len() > MOST_PLACES || !list.iter().all(is_single) || !wanted_twice(stock, list) {
        return;
    }
    let pieces: Vec<rust_decimal::Decimal> = stock
        .pieces
        .iter()
        .flat_map(|piece| std::iter::repeat_n(piece.size, (piece.count as usize).min(list.len())))
        .take(MOST_PIECES)
        .collect();
    // Places without a piece fall on columns of nobody's.
    let columns = pieces.len() + list.len();
    let weight = |choice: &Choice<'_>, column: usize| -> i64 {
        const NONE: i64 = 1_000_000_000_000;
        let Some(size) = pieces.get(column) else { return NONE };
        let found = choice
            .candidates
            .iter()
            .find(|candidate| candidate.pieces.first() == Some(size));
        let Some(candidate) = found else { return NONE };
        // A micrometre off weighs one; out of limit more than all of that.
        let off = candidate.off.and_then(|off| off.abs().to_f64()).unwrap_or(0.0) * 1000.0;
        let off = (off * off).min(1e8) as i64;
        i64::from(candidate.rank()) * 1_000_000_000 + off
    };
    let rows = list
        .iter()
        .map(|choice| (0..columns).map(|column| weight(choice, column)).collect::<Vec<i64>>());
    let Ok(matrix) = Matrix::from_rows(rows) else { return };
    let (_, assigned) = kuhn_munkres_min(&matrix);
    for (choice, column) in list.iter_mut().zip(assigned) {
        let size = pieces.get(column);
        choice.taken = size.and_then(|size| {
            let mut candidates = choice.candidates.iter();
            candidates.position(|candidate| candidate.pieces.first() == Some(size))
        });
    }
}

/// Whether the best pieces of all places are more than the stock has.
fn wanted_twice(stock: &Stock, list: &[Choice<'_>]) -> bool {
    stock.pieces.iter().any(|piece| {
        let takers = list
            .iter()
            .filter_map(Choice::best)
            .filter(|best| best.pieces.first() == Some(&piece.size));
        let there: u32 = stock
            .pieces
            .iter()
            .filter(|other| other.size == piece.size)
            .map(|other| other.count)
            .sum();
        takers.count() > there as usize
    })
}
