"""The fold of events: pure, in order, and blind to anything but the events."""

from hypothesis import given
from hypothesis import strategies as st

from hobnote.following import events as ev
from hobnote.following.tally import tally
from hobnote.record import Amount, Range


def amount(best: float, unit: str = "g", basis: str = "weighed") -> Amount:
    return Amount(low=best, best=best, high=best, unit=unit, basis=basis)  # type: ignore[arg-type]


def row(record, name):
    return next(i for c in record.components for i in c.ingredients if i.name == name)


OATS = ev.Named(key="r1", name="rolled oats")
MILK = ev.Named(key="r2", name="milk")


def test_a_correction_replaces_and_more_adds() -> None:
    events = [
        OATS,
        ev.Measured(key="r1", amount=amount(80)),
        ev.Measured(key="r1", amount=amount(90)),
        ev.Measured(key="r1", amount=amount(20), how="add"),
    ]
    item = row(tally(events), "rolled oats")
    assert item.amount.best == 110
    assert [u.amount.best for u in item.uses] == [90, 20]


def test_kilos_and_grams_add_up() -> None:
    events = [
        OATS,
        ev.Measured(key="r1", amount=amount(1, "kg")),
        ev.Measured(key="r1", amount=amount(250, "g"), how="add"),
    ]
    assert row(tally(events), "rolled oats").amount.best == 1250


def test_a_weight_beside_a_spoon_becomes_the_amount() -> None:
    events = [
        OATS,
        ev.Measured(key="r1", amount=amount(1, "tbsp", "measured")),
        ev.Measured(key="r1", amount=amount(12), how="also"),
    ]
    item = row(tally(events), "rolled oats")
    assert item.amount.unit == "g"
    assert item.also is not None and item.also.unit == "tbsp"


def test_relative_amounts_follow_a_later_correction() -> None:
    events = [
        MILK,
        ev.Measured(key="r2", amount=amount(300, "ml", "measured")),
        OATS,
        ev.Related(key="r1", to="r2", factor=0.5, said="half as much"),
        ev.Measured(key="r2", amount=amount(400, "ml", "measured")),
    ]
    item = row(tally(events), "rolled oats")
    assert (item.amount.best, item.amount.basis) == (200, "relative")


def test_a_circle_of_relative_amounts_stays_unsaid() -> None:
    events = [
        MILK,
        OATS,
        ev.Related(key="r1", to="r2", factor=0.5),
        ev.Related(key="r2", to="r1", factor=2),
    ]
    assert row(tally(events), "milk").amount.basis == "unsaid"


def test_dropped_rows_leave_the_steps_too() -> None:
    events = [
        OATS,
        MILK,
        ev.Stepped(key="s1", verb="stir", ingredients=("r1", "r2"), minutes=Range(low=2, high=3)),
        ev.Dropped(key="r2"),
    ]
    record = tally(events)
    assert record.steps[0].ingredients == ["rolled oats"]
    assert [i.name for c in record.components for i in c.ingredients] == ["rolled oats"]


def test_step_numbers_follow_the_order_and_alongside_points_at_one() -> None:
    events = [
        ev.Stepped(key="a", verb="simmer"),
        ev.Stepped(key="b", verb="chop", alongside="a"),
        ev.StepDropped(key="zzz"),
    ]
    steps = tally(events).steps
    assert [(s.number, s.alongside) for s in steps] == [(1, None), (2, 1)]


keys = st.sampled_from(["r1", "r2", "r3"])
figures = st.floats(0.5, 500).map(lambda x: round(x, 2))
any_event = st.one_of(
    st.builds(ev.Named, key=keys, name=st.sampled_from(["oats", "milk", "salt"])),
    st.builds(
        ev.Measured,
        key=keys,
        amount=figures.map(amount),
        how=st.sampled_from(["set", "add", "also"]),
    ),
    st.builds(ev.Related, key=keys, to=keys, factor=st.floats(0.1, 4)),
    st.builds(ev.Dropped, key=keys),
    st.builds(ev.Stepped, key=keys, verb=st.just("stir"), ingredients=st.tuples(keys)),
)


@given(st.lists(any_event, max_size=25))
def test_any_list_of_events_folds_and_round_trips(events: list[ev.Event]) -> None:
    record = tally(events)
    assert tally(ev.EVENTS.validate_json(ev.EVENTS.dump_json(events))) == record
    for part in record.components:
        for item in part.ingredients:
            a = item.amount
            if a.best is not None:
                assert a.low is not None and a.high is not None
                assert a.low <= a.best <= a.high


@given(st.lists(any_event, max_size=15))
def test_an_event_about_nothing_changes_nothing(events: list[ev.Event]) -> None:
    assert tally([*events, ev.Dropped(key="no such row")]) == tally(events)
