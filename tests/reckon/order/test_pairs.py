"""What two causes cost more than if they were known: a bound holds only if no more is claimed than every way costs."""

from hypothesis import example, given
from hypothesis import strategies as st

from builder.reckon.order.pairs import ROUNDING, _cheapest, _share

DRIFT = 3.5e-15
"""How far rounding drives apart what is the same."""


@st.composite
def chains(draw):
    """Lower left corners of a convex hull, one of them on an axis, some of them more than once but for rounding."""
    steps = draw(st.lists(st.tuples(st.floats(0.01, 5), st.floats(0.01, 5)), min_size=1, max_size=5))
    steps.sort(key=lambda step: -step[1] / step[0])
    corners = [(0.0, 0.0)]
    for right, down in steps:
        corners.append((corners[-1][0] + right, corners[-1][1] - down))
    lift = -corners[-1][1] + draw(st.sampled_from([0.0, 0.0, 1.5]))
    chain = [(x, y + lift) for x, y in corners]
    for _ in range(draw(st.integers(0, 2))):
        place = draw(st.integers(0, len(chain) - 1))
        x, y = chain[place]
        chain.insert(place, (x - DRIFT * draw(st.integers(0, 1)), y))
    return chain


@given(chains(), st.floats(0.001, 1), st.floats(0.001, 1))
@example([(-DRIFT, 18.0), (-DRIFT, 18.0), (-DRIFT, 18.0 - 3e-14), (0.282, 2.286), (0.705, 1.7622)], 0.1665, 0.05)
@example([(0.0, 1.0), (1e-15, 1.0 - 1e-14), (1.0, 0.5)], 0.9, 0.1)
def test_no_more_is_claimed_than_every_corner_costs(chain, x, y):
    taken, other, gain = _share(chain, x, y)
    assert 0 <= taken <= x
    assert 0 <= other <= y
    assert gain <= min(a * taken + b * other for a, b in chain) + ROUNDING


@given(chains(), st.floats(0.001, 1), st.floats(0.001, 1))
def test_a_part_of_the_weights_gains_as_much_as_all_of_them(chain, x, y):
    assert abs(_share(chain, x, y)[2] - _cheapest(chain, x, y)[0]) <= ROUNDING
