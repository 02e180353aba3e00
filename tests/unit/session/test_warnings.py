"""What today's page warns of goes along into the round, in words for whoever walks it."""

from __future__ import annotations

from pathlib import Path

from tendtui.core.round import RoundScript
from tendtui.session.clock import FixedClock
from tendtui.session.learning import pressing_signs, signs_to_pass_on, view_now
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tests.support.demo_rack import NOW, demo_rack


def test_the_round_times_the_outlet_that_today_s_page_names(tmp_path: Path) -> None:
    session = Session(Folder(demo_rack(tmp_path)), clock=FixedClock(NOW))
    session.start("round", by="Petra")
    script = session.script(session.state.walks["round"])
    assert isinstance(script, RoundScript)
    (flow,) = (q for s in script.stops if s.name == "Creek" for q in s.questions if q.key == "Creek.flow")
    assert flow.quantity == "flow"
    assert flow.facts[-1][1] == "[!] An outlet gives less than the one above it, and less each time"


def test_whoever_may_not_act_on_a_sign_is_told_what_to_look_at_and_whom_to_tell(tmp_path: Path) -> None:
    session = Session(Folder(demo_rack(tmp_path)), clock=FixedClock(NOW))
    view = view_now(session)
    (own,) = (do for what, do in pressing_signs(view) if what.startswith("Creek"))
    (passed_on,) = (do for what, do in signs_to_pass_on(view) if what.startswith("Creek"))
    assert "trim" in own
    assert "trim" not in passed_on
    assert passed_on.startswith("First: Is the water in that pipe higher than usual?")
    assert passed_on.endswith("Then tell the grower.")
