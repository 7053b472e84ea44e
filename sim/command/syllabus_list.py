"""The list of lessons: where the learner stands in each, what comes next, and what to recall first."""

from __future__ import annotations

from sim.command.pictures import show_json
from sim.scoring.syllabus import LessonEntry, read_syllabus
from sim.teaching.drills import drill_for
from sim.teaching.progress import Progress, is_open, needed_for, next_lesson, passed_once, retrieval_items


def list_syllabus(progress: Progress, day: int, as_json: bool) -> int:
    """Print the syllabus with progress."""
    syllabus = read_syllabus()
    needed = needed_for(syllabus)
    following = next_lesson(progress, syllabus, needed)
    recall = retrieval_items(progress, day)
    rows = [
        _row(progress, entry, needed, following is not None and entry.slug == following.slug, not as_json)
        for entry in syllabus.lessons
    ]
    if as_json:
        keys = ("lesson", "title", "skill", "standing", "best", "attempts")
        return show_json({
            "lessons": [dict(zip(keys, row, strict=True)) for row in rows],
            "next": following.slug if following else None, "recall": [[skill, drill_for(skill)] for skill in recall],
        })  # fmt: skip
    print("Lessons")
    widest = max(len(row[0]) for row in rows)  # names are typed in, so they are never shortened
    for name, _, _, standing, best, _ in rows:
        print(f"  {name:<{widest}}  {standing}{f', best {best}' if best else ''}".rstrip())
    for skill in recall:
        line = f"tonewright drill {drill_for(skill)} --recall {skill} --items 1"
        print(f"Before you begin, recall {skill.replace('-', ' ')}: {line}")
    if following:
        print(f"Next: tonewright lesson {following.slug}   ({following.title})")
    else:
        print("Every skill has been met. Negatives of your own: tonewright scan FILE")
    for drill in syllabus.drills:
        print(f"Drill: tonewright drill {drill.slug}   ({drill.title})")
    return 0


def _row(progress: Progress, entry: LessonEntry, needed: dict[str, int], following: bool, mark: bool) -> list[str]:
    done = progress.evenings.get(entry.slug, [])
    if passed_once(progress, entry.slug):
        met = progress.mastered(entry.skill, needed[entry.skill])
        standing = "skill met" if met else "passed, once more on another negative"
    elif done:
        standing = "begun"
    elif following or is_open(progress, entry, needed):
        standing = "open"
    else:
        lacking = [skill for skill in entry.needs if not progress.mastered(skill, needed[skill])]
        standing = f"builds on {', '.join(lacking)}"
    best = f"{100 * max(one.share for one in done):.0f} %" if done else ""
    return [("> " if following and mark else "") + entry.slug, entry.title, entry.skill, standing, best, str(len(done) or "")]
