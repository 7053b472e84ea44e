"""``tonewright check``: whether an exercise is sound, for those who write lessons."""

from __future__ import annotations

import argparse

from sim.control_ranges import in_range


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("lesson", metavar="LESSON", help="name of a lesson, or the folder of an exercise of your own")
    parser.add_argument("--records", type=int, default=120, metavar="N", help="random records tried (default: %(default)s)")
    parser.add_argument("--starts", type=int, default=4, metavar="N",
                        help="evenings by the trade's rules (default: %(default)s)")  # fmt: skip
    parser.add_argument("--json", action="store_true", help="the report as JSON")


def run(options: argparse.Namespace) -> int:
    """Check the exercise, show what was found; exit code 1 when there are problems."""
    from sim.command.of_a_course import refuse_of_a_course
    from sim.command.pictures import show_json
    from sim.notebook.finding_words import finding_words
    from sim.scoring.checking import check_exercise
    from sim.scoring.exercise_file import exercise_at
    from sim.words import Words

    for name in ("records", "starts"):
        in_range(f"--{name}", getattr(options, name), 1, 10_000)
    folder, exercise = exercise_at(options.lesson)
    refuse_of_a_course(exercise.negatives)
    report = check_exercise(folder, options.records, options.starts)
    problems = [finding_words(finding, Words()) for finding in report.problems]
    if options.json:
        show_json({**report.data(), "problems": problems})
        return 1 if report.problems else 0
    print(f"{report.exercise}: reference {report.reference_share:.0%}, best by reach {report.best_share:.0%}, "
          f"start {report.start_share:.0%} of the quality")  # fmt: skip
    for control, width, unit in report.widths:
        print(f"  {control} may be anywhere in {width:.2g} {unit} and the print still passes")
    if report.rules_passed:
        print(f"  the trade's rules need {report.rules_sheets:.2f} sheets and pass {report.rules_passed:.0%} of evenings")
    else:
        print("  the trade's rules never pass")
    print(f"  {report.accident:.1%} of random records pass by accident")
    for problem in problems:
        print(f"problem: {problem}")
    return 1 if report.problems else 0
