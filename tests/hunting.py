"""Bows, jobs and cards of the tests of the hunter's card. All shots are invented."""

import shutil

import vireton

FAR = "20,40,60 yd"


def job_of(examples, folder, *, changed=lambda text: text):
    """The example's job, of the bow with a broadhead; ``changed`` edits its text."""
    shutil.copy(examples / "mill_broadhead.toml", folder)
    text = (examples / "mill_log.toml").read_text(encoding="utf-8")
    path = folder / "job.toml"
    path.write_text(changed(text.replace("mill_bow.toml", "mill_broadhead.toml")), "utf-8")
    return path


def card_of(bow, **given):
    """A quick card."""
    return vireton.plan_hunt(bow, **{"distances": FAR, "draws": 8, **given})
