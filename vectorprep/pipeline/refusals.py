"""The result of an artwork of which nothing is delivered.

Comes in: a job and what stopped it. Goes out: a `JobResult` that says so. Never done here: deciding that it is stopped.
"""

from __future__ import annotations

from vectorprep.errors import ArtworkFailed, ArtworkRefused
from vectorprep.model import Artwork
from vectorprep.pipeline.workshop import Job, JobResult
from vectorprep.report.records import refused_record


def refusal(job: Job, error: ArtworkRefused | ArtworkFailed, artwork: Artwork | None = None) -> JobResult:
    """The record of an artwork that was refused (reader or plan says no) or failed (engine or limit)."""
    status = "refused" if isinstance(error, ArtworkRefused) else "failed"
    words = {"code": error.code or status, "message": error.message, "fix": error.fix}
    return JobResult(artwork=refused_record(job.name, job.slug, job.path, job.sha256, status=status, error=words, artwork=artwork))
