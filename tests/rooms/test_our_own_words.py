"""What is ours by decision: the words for states of work, gaps of recall, boxes of paper, and learners without names."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path
from typing import get_args

import sim
from sim.bench.darkroom import Darkroom
from sim.command import mark_verb
from sim.evening.evening import Evening
from sim.marking.authoring import Answers
from sim.marking.demo_course import EXERCISES, ROSTER
from sim.marking.outputs import PAGES_FOLDER
from sim.marking.statuses import MARKED, WORDS, Status
from sim.scoring.exercise import Box
from sim.scoring.syllabus import read_syllabus
from sim.teaching.progress import SPACING_DAYS, Recalled, due_day

PACKAGE = Path(sim.__file__).parent
TESTS = Path(__file__).parents[1]
BOXES_SOLD = (20, 50)  # sheets in a box as shops have them
NUMBERED = re.compile(r"^[kкκ학]-?\d{1,3}$")
ROLES = {"a-learner", "me", "nobody", "somebody else"}  # who one is to the other, not what one is called
WRITTEN_OUT = re.compile(r"^[^\W\d_]{2,}$")  # a word of letters alone, in any script


def test_work_is_marked_and_its_pages_are_handed_back() -> None:
    assert get_args(Status)[0] == "marked"
    assert MARKED == ("marked", "late")
    assert set(WORDS) == set(get_args(Status))
    assert "graded" not in get_args(Status)
    assert PAGES_FOLDER == "pages"
    options = inspect.getsource(mark_verb)
    assert '"--hand-back"' in options
    assert not re.search(r"release|feedback", options)


def test_the_gap_to_the_next_recall_doubles() -> None:
    assert tuple(2**n for n in range(7)) == SPACING_DAYS
    assert [due_day(Recalled(day=100, in_a_row=n)) - 100 for n in (0, 1, 6, 40)] == [1, 2, 64, 64]


def test_a_new_box_holds_what_a_box_is_sold_with_and_the_same_at_every_door() -> None:
    signatures = [inspect.signature(one).parameters["sheets"].default for one in (Evening.open, Darkroom.open)]
    found = {*signatures, Box().sheets, Answers.__dataclass_fields__["sheets"].default}
    found.add(_option_default("author_verb", "--sheets"))
    assert len(found) == 1
    assert found <= set(BOXES_SOLD)


def _option_default(verb: str, option: str) -> object:
    for node in ast.walk(ast.parse((PACKAGE / "command" / f"{verb}.py").read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and node.args and getattr(node.args[0], "value", "") == option:
            return next(ast.literal_eval(word.value) for word in node.keywords if word.arg == "default")
    raise AssertionError(f"{verb} has no option {option}")


def test_the_demonstration_course_follows_the_syllabus_and_numbers_its_learners() -> None:
    assert all(NUMBERED.match(learner) for learner, _ in ROSTER)
    syllabus, learnt = read_syllabus(), set()
    for slug in EXERCISES:
        entry = syllabus.lesson(slug)
        assert set(entry.needs) <= learnt, f"{slug} needs {set(entry.needs) - learnt} before it"
        learnt.add(entry.skill)


def learners_named(tree: ast.AST) -> list[str]:
    """Return what stands in a test's source where a learner is named."""
    found: list[ast.expr] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.keyword) and node.arg == "learner":
            found.append(node.value)
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "hand":
            found += node.args[:1]
        elif isinstance(node, ast.Call):
            found += [after for word, after in zip(node.args, node.args[1:]) if getattr(word, "value", "") == "--learner"]
        elif isinstance(node, ast.Dict):
            keyed = zip(node.keys, node.values, strict=True)
            found += [value for key, value in keyed if getattr(key, "value", "") == "learner"]
    return [one.value for one in found if isinstance(one, ast.Constant) and isinstance(one.value, str)]


def test_learners_in_tests_go_by_number() -> None:
    """A word of letters alone in a learner's place would be somebody's name; numbers, roles and hostile shapes are not."""
    seen = [(file, who) for file in sorted(TESTS.rglob("*.py")) for who in learners_named(ast.parse(file.read_text("utf-8")))]
    assert len(seen) > 40
    assert sum(bool(NUMBERED.match(who)) for _, who in seen) > 40
    assert [(file.name, who) for file, who in seen if WRITTEN_OUT.match(who) and who not in ROLES] == []


def test_a_name_in_a_learners_place_is_seen() -> None:
    tree = ast.parse('room.hand("name")\nopen(learner="Name")\nrun("x", "--learner", "имя")\n{"learner": "k01"}')
    assert sorted(who for who in learners_named(tree) if WRITTEN_OUT.match(who)) == ["Name", "name", "имя"]
