"""Whatever the OpenAPI document allows, and much that it does not, is answered as it says.

Schemathesis makes the requests. ``HOBNOTE_CASES`` sets how many a route gets
(default 15, a few hundred in all; 120 makes more than 2,000).
"""

from __future__ import annotations

import os

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis.checks import CHECKS, not_a_server_error
from schemathesis.generation import GenerationMode

from hobnote.reading import read_text
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

CASES = int(os.environ.get("HOBNOTE_CASES", "15"))
NOTE = "100 g oats, two glugs of honey and 400 ml milk. Simmer it on low heat for 5 minutes."


@pytest.fixture(scope="module")
def schema(shared_store):
    app = create_app(shared_store, Settings(rate=0, hosts=frozenset()))
    kitchen = app.state.kitchen
    kitchen.warm()
    for _ in range(3):
        number, _ = kitchen.begin(read_text(NOTE), "cook")
        with kitchen.recipe(number) as talk:
            talk.say("the oats were 120 g")
    return schemathesis.openapi.from_asgi("/openapi.json", app)


NAMES = frozenset(
    {
        "status_code_conformance",
        "content_type_conformance",
        "response_headers_conformance",
        "response_schema_conformance",
        "negative_data_rejection",
        "unsupported_method",
    }
)


def _checks():
    schemathesis.openapi  # noqa: B018 - registers its checks
    found = [check for check in CHECKS.get_all() if check.__name__ in NAMES]
    assert {check.__name__ for check in found} == NAMES
    return [not_a_server_error, *found]


@pytest.mark.parametrize("mode", list(GenerationMode))
def test_every_route_answers_as_documented(schema, mode):
    operations = [result.ok() for result in schema.get_all_operations()]
    assert len(operations) > 15
    found = _checks()
    negative = next(c for c in found if c.__name__ == "negative_data_rejection")
    made = 0
    for operation in operations:

        @settings(
            max_examples=CASES,
            deadline=None,
            database=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        )
        @given(operation.as_strategy(generation_mode=mode))
        def answers_as_documented(case):
            nonlocal made
            made += 1
            answer = case.call()
            # Text has no wrong type: "null" as a body is a note of one word.
            plain = (case.media_type or "").startswith("text/")
            case.validate_response(
                answer, checks=found, excluded_checks=[negative] if plain else []
            )

        try:
            answers_as_documented()
        except Unsatisfiable:  # nothing about this route can be wrong
            assert mode is GenerationMode.NEGATIVE
    print(f"{made} requests ({mode.value})")
    assert made > 8 * CASES
