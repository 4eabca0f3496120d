"""What a job says of itself."""

from __future__ import annotations

import msgspec

from turnsketch.document.demo import load_demo


def test_a_setup_without_a_name_is_called_by_its_place() -> None:
    job = load_demo("stepped_pin")
    plain = msgspec.structs.replace(job.setups[0], name="First setup")
    named = msgspec.structs.replace(plain, name="The thread")
    job = msgspec.structs.replace(job, setups=(plain, plain, named, *[plain] * 4))
    assert [job.setup_name(n) for n in range(7)] == [
        "First setup",
        "Second setup",
        "The thread",
        "Fourth setup",
        "Fifth setup",
        "Setup 6",
        "Setup 7",
    ]
