"""Remedies about blank, holding and lathe, each for the setup of its finding. No Qt."""

from __future__ import annotations

import math

import msgspec

from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.remedy_case import Case, Remedy, blank_mm, with_blank
from turnsketch.desk.suggestions import bar_text, part_size, stocked, suggested
from turnsketch.document.setups import change_holding, set_grip_mm
from turnsketch.job import Job
from turnsketch.plan_records import SetupPlan
from turnsketch.units import from_mm, to_mm

__all__ = [
    "bright_bar",
    "four_jaws",
    "hard_jaws",
    "larger_lathe",
    "least_grip",
    "longer_lathe",
    "more_room",
    "nearer_to_the_jaws",
    "shorter_grip",
    "soft_jaws",
    "steadier",
    "thicker_bar",
]

_SMALL = 1e-6


def _rounded_up(value_mm: float, job: Job) -> float:
    """Return a length up to whole millimetres, or sixteenths of an inch."""
    step = 1.0 if job.units == "mm" else 1 / 16
    return to_mm(math.ceil(from_mm(value_mm, job.units) / step - _SMALL) * step, job.units)


def _longer(job: Job, more_mm: float) -> Job:
    return with_blank(job, length=length_text(blank_mm(job) + more_mm, job.units))


# Bar


def thicker_bar(case: Case) -> Remedy | None:
    """Take the next larger bar in stock."""
    job = case.job
    size = part_size(job.part, job.units)
    if size is None:
        return None
    blank = suggested(job, case.shop, size).blank
    made = with_blank(job, diameter=blank.diameter, skin=blank.skin)
    return Remedy(made, f"Take Ø{blank.diameter} {blank.skin}")


def bright_bar(case: Case) -> Remedy | None:
    """Take the thinnest bright bar that is as thick as the black one."""
    job = case.job
    for diameter, bar in stocked(case.shop, job.part.material):
        if bar.skin == "bright" and diameter >= case.bar_mm - _SMALL:
            text = bar_text(bar, job.units)
            return Remedy(with_blank(job, diameter=text, skin="bright"), f"Take Ø{text} bright")
    return None


# Room behind the part


def more_room(case: Case) -> Remedy | None:
    """Let the blank stand out as far as part, blade and clearances need.

    A later setup pulls the bar out further, as long as the jaws still hold what the shop asks
    for; else, and in the first setup, the blank is cut longer.
    """
    setup = case.setup
    if setup is None:
        return _longer_blank(case)
    missing = _rounded_up(max(_missing(case, setup), _beyond(case, setup)), case.job)
    if missing <= 0:
        return None
    least = case.chuck.least_grip_mm if case.chuck is not None else 0.0
    grip = case.grip_mm
    if case.turned:
        held = grip is not None and grip - missing >= least - _SMALL
        return _gripped(case, grip - missing) if held and grip is not None else None
    pulled = case.job.setups[case.index].pull_out is not None
    if pulled and grip is not None and grip - missing >= least - _SMALL:
        words = f"Pull the bar out {length_text(missing, case.job.units)} further"
        return Remedy(set_grip_mm(case.job, case.index, grip - missing), words)
    job = case.job
    if grip is not None and setup.grip_mm < least - _SMALL:
        more = _rounded_up(least - grip, job)
        job, missing = set_grip_mm(job, case.index, grip + more), missing + more
    made = _longer(job, missing)
    return Remedy(made, f"Cut the blank {made.blank.length} long")


def _longer_blank(case: Case) -> Remedy | None:
    """Make the blank as long as part, parting cut and clearances need with the present grip."""
    job, grip = case.job, case.grip_mm
    size = part_size(job.part, job.units)
    if size is None or grip is None or case.index > 0:
        return None
    better = suggested(job, case.shop, size)
    wanted = Case(better, case.finding, case.shop).grip_mm or grip
    made = with_blank(job, length=length_text(blank_mm(better) + grip - wanted, job.units))
    return Remedy(made, f"Cut the blank {made.blank.length} long")


def _blade_mm(case: Case, setup: SetupPlan) -> float:
    numbers = [o.tool for o in setup.operations if o.kind == "part off"]
    return max((t.width_mm for n in numbers if (t := case.tool(n)) is not None), default=0.0)


def _back_z(setup: SetupPlan) -> float:
    """Return z behind which the setup makes nothing: the part's back, or its limit."""
    back = min(p.z for ring in setup.part for p in ring)
    return back if setup.limit_z is None else max(back, setup.limit_z)


def _missing(case: Case, setup: SetupPlan) -> float:
    """Return how much room is missing between the part's back and the jaws."""
    clear = setup.jaw_face_z + case.shop.clearances.cut_to_jaws + _blade_mm(case, setup)
    return clear - _back_z(setup)


def _beyond(case: Case, setup: SetupPlan) -> float:
    """Return how far the nearest cut, a blade's left side included, goes beyond the line."""
    near = case.finding.code == "near-the-jaws" and case.finding.z is not None
    return setup.never_beyond_z - (case.finding.z or 0.0) if near else 0.0


# Grip


def _gripped(case: Case, grip_mm: float) -> Remedy:
    """Grip so much: a part that is turned around is held by what is made, whatever the bar was."""
    words = f"Grip {length_text(grip_mm, case.job.units)}"
    return Remedy(set_grip_mm(case.job, case.index, grip_mm), words)


def least_grip(case: Case) -> Remedy | None:
    """Grip as much as the shop asks for, and make the blank so much longer."""
    chuck, grip = case.chuck, case.grip_mm
    if chuck is None or grip is None:
        return None
    wanted = _rounded_up(chuck.least_grip_mm, case.job)
    if case.turned:
        return _gripped(case, wanted)
    made = _longer(set_grip_mm(case.job, case.index, wanted), wanted - grip)
    return Remedy(made, f"Grip {length_text(wanted, case.job.units)}")


def shorter_grip(case: Case) -> Remedy | None:
    """Grip no more than the jaws are long, and cut the blank so much shorter.

    Where a later setup pulls the bar out it needs that length: there a person has to decide.
    """
    chuck, grip = case.chuck, case.grip_mm
    later = case.job.setups[case.index + 1 :]
    if chuck is None or grip is None or any(s.pull_out is not None for s in later):
        return None
    wanted = chuck.jaw_length_mm
    if case.turned:
        return _gripped(case, wanted)
    made = _longer(set_grip_mm(case.job, case.index, wanted), wanted - grip)
    return Remedy(made, f"Grip {length_text(wanted, case.job.units)}")


# Stick-out


def steadier(case: Case) -> Remedy | None:
    """Grip more where nothing is cut, cut a blank shorter that is too long, or use the centre."""
    setup, limits = case.setup, case.shop.limits
    if setup is None or setup.centre is not None:
        return None
    more = setup.stick_out_mm - limits.unsupported_ratio * case.bar_mm
    spare = _back_z(setup) - _blade_mm(case, setup) - setup.never_beyond_z
    nearer = _nearer(case, setup, more) if more <= spare + _SMALL else None
    return nearer or _on_the_centre(case, setup)


def nearer_to_the_jaws(case: Case) -> Remedy | None:
    """Grip so much more that parting off stands no further out than the bar is thick."""
    setup, left = case.setup, case.finding.z
    if setup is None or left is None:
        return None
    more = left - setup.jaw_face_z - case.bar_mm
    return _nearer(case, setup, more) if left - more >= setup.never_beyond_z - _SMALL else None


def _nearer(case: Case, setup: SetupPlan, more_mm: float) -> Remedy | None:
    """Bring the jaws nearer to the part: by more grip, or by a shorter blank."""
    job, chuck, grip = case.job, case.chuck, case.grip_mm
    if chuck is None or grip is None:
        return None
    more = _rounded_up(more_mm, job)
    if chuck.bore_mm >= case.bar_mm or grip + more <= chuck.jaw_length_mm + _SMALL:
        made = set_grip_mm(job, case.index, grip + more)
        if len(job.setups) == case.index + 1 or made.setups[case.index + 1].pull_out is None:
            return Remedy(made, f"Grip {length_text(grip + more, job.units)}")
    if len(job.setups) > 1:
        return None
    made = _longer(job, -more)
    return Remedy(made, f"Cut the blank {made.blank.length} long")


def _on_the_centre(case: Case, setup: SetupPlan) -> Remedy | None:
    """Support the front end; parting off goes out with it, and the centre hole comes in."""
    job, operations = case.job, case.operations
    chucked = case.holding.kind == "chuck" and case.chuck is not None
    ratio = setup.stick_out_mm / case.bar_mm
    if not chucked or job.part.centre_hole == "not allowed" or case.index > 0:
        return None
    if ratio > case.shop.limits.centre_ratio:
        return None
    made = change_holding(job, case.index, centre=True)
    if case.own_list:
        from turnsketch.desk.remedies_operations import with_centre_hole

        kept = [o for o in operations if o.kind != "part off"]
        listed = with_centre_hole(case, kept)
        if listed is None:
            return None
        made = Case(made, case.finding, case.shop).with_list(listed)
    return Remedy(made, "Put in the tailstock centre")


# What holds it


def soft_jaws(case: Case) -> Remedy | None:
    """Take the soft jaws of the same chuck."""
    if case.chuck is None or not case.chuck.soft_jaws:
        return None
    return Remedy(change_holding(case.job, case.index, soft_jaws=True), "Take soft jaws")


def hard_jaws(case: Case) -> Remedy | None:
    """Leave out soft jaws that the shop does not have."""
    return Remedy(change_holding(case.job, case.index, soft_jaws=False), "Leave out soft jaws")


def four_jaws(case: Case) -> Remedy | None:
    """Hold a square bar in the first four-jaw chuck that takes it."""
    for chuck in case.shop.chucks:
        if chuck.kind == "four-jaw" and chuck.smallest_mm <= case.bar_mm <= chuck.largest_mm:
            made = change_holding(case.job, case.index, device=chuck.name, soft_jaws=False)
            return Remedy(made, f"Hold it in {chuck.name}")
    return None


# Lathe


def larger_lathe(case: Case) -> Remedy | None:
    """Take the smallest lathe that swings the blank."""
    fitting = [lathe for lathe in case.shop.lathes if lathe.swing_mm >= case.bar_mm]
    if not fitting:
        return None
    lathe = min(fitting, key=lambda record: record.swing_mm)
    return Remedy(msgspec.structs.replace(case.job, lathe=lathe.name), f"Take {lathe.name}")


def longer_lathe(case: Case) -> Remedy | None:
    """Take the shortest lathe that is long enough between its centres."""
    setup, chuck = case.setup, case.chuck
    if setup is None or setup.centre is None:
        return None
    needed = setup.centre.between_centres_mm
    if needed is None:
        jaws = 0.0 if chuck is None else chuck.jaw_length_mm + chuck.body_length_mm
        needed = setup.stick_out_mm + jaws
    fitting = [
        lathe
        for lathe in case.shop.lathes
        if lathe.between_centres_mm >= needed and lathe.swing_mm >= case.bar_mm
    ]
    if not fitting:
        return None
    lathe = min(fitting, key=lambda record: record.between_centres_mm)
    return Remedy(msgspec.structs.replace(case.job, lathe=lathe.name), f"Take {lathe.name}")
