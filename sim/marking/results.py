"""The results as data: what one evening's replay gave, and the course's rows. The one source of every page and table.

Written and read through pydantic; the JSON schema of ``results.json`` is published (``tonewright schema --results``).
Numbers round themselves, so that the same work gives the same bytes.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from sim.marking.review import Choice
from sim.marking.statuses import MARKED, SAME_AGAIN, Limit, Status


def _to(decimals: int) -> AfterValidator:
    return AfterValidator(lambda value: None if value is None else round(float(value), decimals) + 0.0)


WRITTEN, NAMED = "written", "named"  # of a field: a person wrote it, or may have named it so
GIVEN_BY_A_PERSON = "given by a person"  # in the place of a reason that may name somebody
Written = Annotated[str, WRITTEN]
Named = Annotated[str, NAMED]
Points = Annotated[float, _to(4)]
Given = Annotated[float, _to(2)]  # what is given out, and what late rules work on
Share = Annotated[float, _to(6)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, from_attributes=True)


class CriterionResult(_Part):
    """One criterion of the nominated sheets: evidence and points. Hidden ones are kept out of learners' pages."""

    name: Written
    kind: str
    place: Named
    negative: int = Field(description="which of the exercise's negatives, from 1; 0: all of them")
    measured: Points | None
    wanted: Points | None
    tolerance: Points | None
    unit: str
    share: Annotated[float, Field(ge=0.0, le=1.0), _to(6)]
    points: Points
    full_points: Points
    hidden: bool = False
    least: Annotated[Points | None, Field(description="of a window: its lower end")] = None
    most: Annotated[Points | None, Field(description="of a window: its upper end, None where it has none")] = None
    called: Annotated[Named, Field(description="the negative's own name of the place, where the criterion has another")] = ""

    @property
    def shown_place(self) -> str:
        """Its place as the negative calls it: what a criterion calls the lightest is another place on each negative."""
        return self.called or self.place


class EvidenceResult(_Part):
    """A reading that shows a cause: a place's density and how far off it is, or how far two places lie apart."""

    places: list[str]
    read: Points
    off: Points


class AdviceResult(_Part):
    """What cost most: cause, what the print needs, how much of it, where, and the readings that show it.

    ``words`` says the same as an English sentence.
    """

    cause: str
    direction: str
    size: Annotated[float, _to(3)] | None
    unit: str
    place: str
    loss_points: Points
    words: str
    hidden: bool = Field(False, description="about a place that only a hidden criterion reads: not for learners")
    exposure: str = Field("", description="soft or hard, where two exposures are told apart")
    measured: Points = Field(0.0, description="of a set-up, a time or the paper used")
    wanted: Points = 0.0
    evidence: list[EvidenceResult] = []
    after_others: bool = Field(False, description="no reading shows it until the other causes are put right")


class ReadingResult(_Part):
    """A named place of a sheet as the densitometer reads it."""

    place: Named
    density: float
    called: Annotated[Named, Field(description="the negative's own name of the place, where the criterion has another")] = ""

    @property
    def shown_place(self) -> str:
        """The place as the negative calls it."""
        return self.called or self.place


class StepResult(_Part):
    """One step of a strip: its seconds, and what the places that it shows whole read."""

    number: int
    time_s: float
    shows: list[ReadingResult]


class SheetResult(_Part):
    """One piece of paper: what was changed since the one before, what it reads, and whether it is the one that counts.

    A strip is read step by step (``steps``), at the places that each of them shows, and nowhere else.
    """

    number: int
    kind: Literal["sheet", "strip"]
    minute: float
    negative: str
    changes: list[str]
    readings: list[ReadingResult]
    nominated: bool
    picture: str = Field("", description="name of its picture among the kept pictures")
    steps: list[StepResult] = []
    predicted: Annotated[str, Field(description="what was expected of it, as a code")] = ""
    observed: Annotated[str, Field(description="what was seen on it before the numbers: a code, then words")] = ""
    explained: Annotated[str, Field(description="why it came out so, as a code")] = ""


class SignsResult(_Part):
    """What two evenings may have in common that honest ones have not. For whoever teaches; on no learner's page."""

    light: Annotated[str, Field(description="digest of the random light that lamp and timer were given")] = ""
    decisions: Annotated[list[str], Field(description="digest of the decisions behind each whole sheet, in order")] = []
    strips: int = 0
    smallest_card_mm: float | None = None


class NegativeResult(_Part):
    """A negative that was printed, with the digest of its densities: traces 'same file, different mark'."""

    name: Named
    digest: str


class SubmissionResult(_Part):
    """What the replay of one evening gave. Depends on the file's content and the exercise alone."""

    content: str
    status: Status
    limit: Limit = ""
    reasons: list[str] = []
    exercise_digest: str = ""
    marker_version: str
    points: Points | None = None
    full_points: Points = 0.0
    quality_share: Share | None = None
    economy_points: Points | None = None
    economy_full_points: Points = 0.0
    passed: bool | None = None
    criteria: list[CriterionResult] = []
    advice: list[AdviceResult] = []
    sheets: list[SheetResult] = []
    sheets_used: float = 0.0
    minutes_used: float = 0.0
    negatives: list[NegativeResult] = []
    signs: SignsResult | None = None
    exercise_version: Annotated[int, Field(description="under which the evening was done; 0: none")] = 0
    hints: Annotated[int, Field(description="hints that were taken")] = 0
    notes: list[str] = []
    prints_wanted: Annotated[int, Field(description="how many prints the exercise asks for")] = 0
    prints_there: Annotated[int, Field(description="how many of them were put forward; what is missing earns nothing")] = 0

    @property
    def in_part(self) -> bool:
        """Tell whether only some of the prints asked for were put forward."""
        return 0 < self.prints_there < self.prints_wanted

    @property
    def share(self) -> float | None:
        """Points earned as a share of all."""
        return None if self.points is None or not self.full_points else self.points / self.full_points


class LateResult(_Part):
    """What the late rule said."""

    late_s: float
    percent: float
    words: str
    days: Annotated[int, Field(description="days begun since the due time")] = 0
    grace_days: Annotated[int, Field(description="days of grace spent on it")] = 0


class AttemptResult(_Part):
    """One file of a learner for an exercise, in the order they came."""

    file: Written
    content: str
    received: str
    number: int
    status: Status
    limit: Limit
    share: Points | None
    points: float | None
    counted: bool
    note: str
    late: LateResult


class OverrideResult(_Part):
    """Points a person gave, and why."""

    points: float
    reason: Written
    private: Annotated[Written, Field(description="a reason for whoever teaches, on no learner's page")] = ""


class DecisionResult(_Part):
    """What a person decided about work that waited for one, and why."""

    choice: Choice
    reason: Written = ""
    private: Annotated[Written, Field(description="a reason for whoever teaches, on no learner's page")] = ""
    used_by: Annotated[Written, Field(description="of re-open: the file that came since, with which it is used up")] = ""
    unsettled: Annotated[str, Field(description="what a decision leaves open and why, for whoever teaches")] = ""
    files: Annotated[list[str], WRITTEN, Field(description="of accept: the files that are marked by it")] = []


class EyeResult(_Part):
    """A criterion judged by eye: what was asked, the step that was given (empty: not yet), and its points."""

    name: str
    asks: Written
    step: str
    points: Points | None
    full_points: float
    reason: Written = ""


class CommentResult(_Part):
    """What was said to the learner: about a criterion (its name), a print (``sheet-3``) or all of it (empty). Costs nothing."""

    about: str
    text: Written
    stray: Annotated[bool, Field(description="the evening has no such criterion or print")] = False


class WaitingResult(_Part):
    """A file that came in and has to do with a learner's exercise, but is no attempt of theirs: what it is, in words for them.

    ``open``: nobody has decided about it yet. ``upload``: its exercise is known, and somebody else handed it in than it
    names, so that it may still become an attempt.
    """

    file: Written
    received: str
    words: str
    open: bool = True
    upload: bool = False


class RowResult(_Part):
    """One learner and one exercise."""

    learner: str
    name: Written
    email: str
    exercise: str
    status: Status
    limit: Limit
    points: Given | None = Field(description="what counts: a person's points, else the marks after the late rule")
    full_points: float
    points_before_late: Given | None
    late: LateResult | None
    override: OverrideResult | None
    attempts: list[AttemptResult]
    reasons: list[str]
    submission: SubmissionResult | None
    own_due: Annotated[str, Field(description="a due time of the learner's own, local time of the course")] = ""
    more: Annotated[dict[str, str], Field(description="the roster's other columns")] = {}
    decision: DecisionResult | None = None
    by_eye: list[EyeResult] = []
    comments: list[CommentResult] = []
    waiting: Annotated[list[WaitingResult], Field(description="files that are no attempt, but have to do with it")] = []
    which_counts: Annotated[str, Field(description="of several attempts: which counts, and why")] = ""

    @property
    def waiting_beside(self) -> list[str]:
        """The files that only a person can settle and nobody has, beside the evening that counts."""
        return self._beside("needs-person")

    @property
    def uploads_open(self) -> list[str]:
        """The files of others that may still become an attempt here: nobody has decided yet whose they are."""
        return [one.file for one in self.waiting if one.open and one.upload]

    @property
    def unread_beside(self) -> list[str]:
        """The files beside the evening that counts that could not be marked, and wait for no decision."""
        return self._beside("unreadable", "tampered", "out-of-range", "failed")

    def _beside(self, *statuses: Status) -> list[str]:
        """Return the files of some states beside the evening that counts, as long as nobody gave points or excused."""
        if self.status not in MARKED or self.override is not None:
            return []
        return list(dict.fromkeys(one.file for one in self.attempts if one.status in statuses and one.note != SAME_AGAIN))

    @property
    def provisional(self) -> bool:
        """Tell whether something is still to be judged by eye, so that the points may rise."""
        return self.override is None and self.points is not None and any(not one.step for one in self.by_eye)


class ExerciseResult(_Part):
    """An exercise of the course as it was marked."""

    name: str
    title: Written
    version: int
    digest: str
    due: str
    points: float
    policy: str
    attempts: int | None
    held_back: Annotated[bool, Field(description="an examination whose marks are not given out yet")] = False
    box_sheets: Annotated[float, Field(description="sheets of paper that an evening may use; 0: not known")] = 0.0
    box_minutes: Annotated[float, Field(description="minutes that an evening may take; 0: not known")] = 0.0
    pass_share: Annotated[Share, Field(description="of the quality that passes; 0: not known")] = 0.0
    lesson: Annotated[bool, Field(description="it comes with the program, and so do its names")] = False


class UnplacedResult(_Part):
    """A file that belongs to no learner or no exercise of this course: somebody has to look.

    ``uploaders`` are those of the roster who may have handed it in, ``learner`` is whose work it says it is, as ids are shown.
    """

    file: Written
    content: str
    status: Status
    reasons: list[str]
    uploaders: list[str] = []
    learner: str = ""
    exercise: str = ""
    received: str = ""
    settled: Annotated[bool, Field(description="a person has decided about it for one of those whom it concerns")] = False
    code: Annotated[str, Field(description="what it is called on the page of whom it names")] = ""


class CourseResults(_Part):
    """All rows of a course: by learner, then in the order of the exercises."""

    format: Literal[1] = 1
    course: str
    title: Written
    time_zone: str
    marker_version: str
    anonymous: bool
    exercises: list[ExerciseResult]
    rows: Annotated[list[RowResult], Field(description="empty where there are groups: their files hold the rows")]
    groups: Annotated[list[str], Field(description="files beside this one with the rows of a large class")] = []
    unplaced: list[UnplacedResult]


def results_schema() -> dict[str, Any]:
    """Return the JSON schema of results.json."""
    return CourseResults.model_json_schema()
