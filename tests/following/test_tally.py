"""The fold of events: pure, in order, and blind to anything but the events."""

from hypothesis import given
from hypothesis import strategies as st

from hobnote.following import events as ev
from hobnote.following.resume import known
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


def test_a_step_loses_what_is_cleared_before_it_is_set() -> None:
    events = [
        ev.Stepped(key="s", verb="fry", heat="high", minutes=Range(low=2, high=3), until="brown"),
        ev.StepChanged(key="s", heat="low", cleared=("heat", "minutes", "until")),
    ]
    step = tally(events).steps[0]
    assert (step.heat, step.minutes, step.until) == ("low", None, None)


def test_an_emptied_amount_is_unsaid_again() -> None:
    events = [
        OATS,
        ev.Measured(key="r1", amount=amount(80)),
        ev.Measured(key="r1", amount=Amount()),
    ]
    assert row(tally(events), "rolled oats") == row(tally([OATS]), "rolled oats")


def test_rows_move_within_their_part_and_steps_within_the_method() -> None:
    events = [
        OATS,
        MILK,
        ev.Named(key="r3", name="honey", component="topping"),
        ev.Stepped(key="a", verb="stir"),
        ev.Stepped(key="b", verb="simmer", alongside="a"),
        ev.Moved(what="row", key="r2", before="r1"),
        ev.Moved(what="step", key="b", before="a"),
    ]
    record = tally(events)
    assert [[i.name for i in c.ingredients] for c in record.components] == [
        ["milk", "rolled oats"],
        ["honey"],
    ]
    assert [(s.number, s.verb, s.alongside) for s in record.steps] == [
        (1, "simmer", 2),
        (2, "stir", None),
    ]


keys = st.sampled_from(["r1", "r2", "r3"])
parts = st.sampled_from(["main", "dressing"])
figures = st.floats(0.5, 500).map(lambda x: round(x, 2))
any_event = st.one_of(
    st.builds(ev.Named, key=keys, name=st.sampled_from(["oats", "milk", "salt"]), component=parts),
    st.builds(
        ev.Described, key=keys, component=st.none() | parts, optional=st.none() | st.booleans()
    ),
    st.builds(
        ev.Measured,
        key=keys,
        amount=figures.map(amount) | st.just(Amount()),
        how=st.sampled_from(["set", "add", "also"]),
    ),
    st.builds(ev.Related, key=keys, to=keys, factor=st.floats(0.1, 4)),
    st.builds(ev.Dropped, key=keys),
    st.builds(ev.Stepped, key=keys, verb=st.just("stir"), ingredients=st.tuples(keys)),
    st.builds(
        ev.StepChanged,
        key=keys,
        text=st.none() | st.just("Stir it"),
        component=st.none() | parts,
        heat=st.none() | st.sampled_from(["low", "high"]),
        until=st.none() | st.just("thick"),
        cleared=st.lists(st.sampled_from(ev.STEP_DETAILS), max_size=3).map(tuple),
    ),
    st.builds(ev.StepDropped, key=keys),
    st.builds(ev.Moved, what=st.sampled_from(["row", "step"]), key=keys, before=st.none() | keys),
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
    assert tally([*events, ev.Moved(what="row", key="no such row")]) == tally(events)
    assert tally([*events, ev.Moved(what="step", key="r1", before="none")]) == tally(events)


@given(st.lists(any_event, max_size=25))
def test_taking_up_a_recipe_knows_its_rows_and_steps_in_the_record_s_order(
    events: list[ev.Event],
) -> None:
    record, now = tally(events), known(events)
    found = {
        (part.name, n): item
        for part in record.components
        for n, item in enumerate(part.ingredients)
    }
    places = now.places()
    assert set(places) == set(found)
    for place, key in places.items():
        assert (now.rows[key].name, now.rows[key].amount.basis == "unsaid") == (
            found[place].name,
            found[place].amount.basis == "unsaid",
        ) or any(isinstance(event, ev.Related) for event in events)
    assert [step.verb for step in now.steps.values()] == [step.verb for step in record.steps]
    assert [step.heated for step in now.steps.values()] == [
        step.heat is not None for step in record.steps
    ]


@given(st.lists(any_event, max_size=25), keys, st.none() | keys, st.sampled_from(["row", "step"]))
def test_a_move_changes_the_order_alone_and_only_of_what_moves(
    events: list[ev.Event], key: str, before: str | None, what: str
) -> None:
    move = ev.Moved(what=what, key=key, before=before)  # type: ignore[arg-type]
    old, new = known(events), known([*events, move])
    was = list(old.rows if what == "row" else old.steps)
    now = list(new.rows if what == "row" else new.steps)
    assert [one for one in now if one != key] == [one for one in was if one != key]
    if key in was and before in was and key != before:
        assert now.index(key) + 1 == now.index(str(before))
    if key in was and before is None:
        assert now[-1] == key
    assert tally([*events, move, move]) == tally([*events, move])
    plain, moved = tally(events), tally([*events, move])
    for a, b in zip(plain.components, moved.components, strict=True):
        assert sorted(map(repr, a.ingredients)) == sorted(map(repr, b.ingredients))
    if what == "row":
        assert plain.steps == moved.steps
    else:
        assert plain.components == moved.components
    # Moving back restores the recipe.
    if key in was:
        after = was[was.index(key) + 1 :]
        back = ev.Moved(what=what, key=key, before=after[0] if after else None)  # type: ignore[arg-type]
        assert tally([*events, move, back]) == plain


@given(st.lists(any_event, max_size=20), keys, st.sets(st.sampled_from(ev.STEP_DETAILS)))
def test_clearing_takes_those_details_and_nothing_else(
    events: list[ev.Event], key: str, gone: set[ev.StepDetail]
) -> None:
    plain = tally(events)
    cleared = tally([*events, ev.StepChanged(key=key, cleared=tuple(gone))])
    for a, b in zip(plain.steps, cleared.steps, strict=True):
        assert b in (a, a.model_copy(update=dict.fromkeys(gone)))
    assert plain.components == cleared.components
    if key in known(events).steps:
        step = cleared.steps[list(known(events).steps).index(key)]
        assert all(getattr(step, name) is None for name in gone)
