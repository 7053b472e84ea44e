"""The course file as it is written: keys, ranges, and what may not stand beside what. ``course.py`` makes a course of it."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import BaseModel, ConfigDict, Field, field_validator

from sim.reading import shown
from sim.refusals import Refused

NAME = r"^[a-z0-9][a-z0-9-]{0,47}$"
SLUG = r"^[a-z0-9][a-z0-9-]{0,63}$"

Policy = Literal["best", "last", "first"]
Header = Annotated[str, Field(min_length=1, max_length=200)]  # of a column in another system's table
Beside = Annotated[str, Field(min_length=1, max_length=400)]  # a file beside the course file


class LateForm(BaseModel):
    """The rule as it is written: one of two rates. Models apart: due times are TOML's own, which JSON has not."""

    model_config = ConfigDict(strict=True, extra="forbid")
    grace_minutes: Annotated[float, Field(ge=0.0, le=10_080.0)] = 0.0
    percent_per_day: Annotated[float, Field(ge=0.0, le=100.0)] | None = None
    percent_per_hour: Annotated[float, Field(ge=0.0, le=100.0)] | None = None
    cap_percent: Annotated[float, Field(ge=0.0, le=100.0)] = 100.0
    zero_after_days: Annotated[float, Field(ge=0.0, le=400.0)] | None = None
    exempt: Annotated[list[Annotated[str, Field(min_length=1, max_length=200)]], Field(max_length=256)] = []

    @field_validator("percent_per_hour")
    @classmethod
    def _one_rate(cls, value: float | None, info: object) -> float | None:
        data: dict[str, object] = getattr(info, "data", {})
        if value is not None and data.get("percent_per_day") is not None:
            raise Refused(f"must not stand beside percent_per_day, got {value!r}")
        return value


class EyeForm(BaseModel):
    """A criterion that is judged by eye, out of the points of its exercise."""

    model_config = ConfigDict(strict=True, extra="forbid")
    name: Annotated[str, Field(pattern=NAME)]
    asks: Annotated[str, Field(min_length=1, max_length=300)]
    points: Annotated[float, Field(gt=0.0, le=10_000.0)]


class RosterForm(BaseModel):
    """What the columns of another system's roster are called."""

    model_config = ConfigDict(strict=True, extra="forbid")
    id: Header | None = None
    name: Annotated[list[Header], Field(max_length=4)] = []
    email: Header | None = None


class ExerciseForm(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    folder: Annotated[str, Field(min_length=1, max_length=400)]
    due: datetime | None = None
    attempts: Annotated[int, Field(ge=1, le=1000)] | None = None
    policy: Policy = "best"
    variants: bool = False
    points: Annotated[float, Field(gt=0.0, le=10_000.0)] = 100.0
    exam: bool = False
    given_out: bool = False
    own_print: Beside | None = None
    by_eye: Annotated[list[EyeForm], Field(max_length=20)] = []
    accepted_versions: Annotated[list[Annotated[int, Field(ge=1, le=10_000)]], Field(max_length=100)] = []
    late: LateForm = LateForm()

    @field_validator("due", mode="before")
    @classmethod
    def _a_time(cls, value: object) -> object:
        if value is not None and not isinstance(value, datetime):
            rule = "must be a date and a time, without quotation marks, such as 2026-12-01T18:00:00"
            raise Refused(f"{rule}, got {shown(value)}")
        return value

    @field_validator("due")
    @classmethod
    def _local(cls, value: datetime | None) -> datetime | None:
        if value is not None and value.tzinfo is not None:
            raise Refused(f"must be a local time of the course's time_zone, without an offset, got {value}")
        if value is not None and not 1970 < value.year < 9000:  # outside, no time zone reckons
            raise Refused(f"must lie between the years 1971 and 8999, got {value}")
        return value


class CourseFile(BaseModel):
    """The course file as it is written."""

    model_config = ConfigDict(strict=True, extra="forbid")
    format: Literal[1]
    course: Annotated[str, Field(pattern=SLUG)]
    title: Annotated[str, Field(min_length=1, max_length=200)]
    time_zone: Annotated[str, Field(max_length=64)] = "UTC"
    secret_file: Beside | None = None
    roster: Beside | None = None
    received: Beside | None = None
    extensions: Beside | None = None
    overrides: Beside | None = None
    review: Beside | None = None
    comments: Beside | None = None
    comment_bank: Beside | None = None
    by_eye: Beside | None = None
    roster_columns: RosterForm = RosterForm()
    uploader_in: Annotated[str, Field(min_length=1, max_length=200)] | None = None
    days_of_grace: Annotated[int, Field(ge=0, le=100)] = 0
    exercise: Annotated[list[ExerciseForm], Field(min_length=1, max_length=200)]

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, value: str) -> str:
        try:
            ZoneInfo(value)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise Refused(f"must be the name of a time zone such as UTC or Europe/Lisbon, got {value!r}") from None
        return value
