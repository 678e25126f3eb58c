"""The result of an artwork of which nothing is delivered.

Comes in: a job and what stopped it. Goes out: a `JobResult` that says so. Never done here: deciding that it is stopped.
"""

from __future__ import annotations

from vectorprep.errors import ArtworkFailed, ArtworkRefused
from vectorprep.model import Artwork, Finding
from vectorprep.pipeline.workshop import Job, JobResult
from vectorprep.report.records import finding_record, refused_record


def refusal(job: Job, error: ArtworkRefused | ArtworkFailed, artwork: Artwork | None = None) -> JobResult:
    """The record of an artwork that was refused (reader or plan says no) or failed (engine or limit).

    Where the cause is one that a print check is named after, it is a finding too.
    """
    status = "refused" if isinstance(error, ArtworkRefused) else "failed"
    words = {"code": error.code or status, "message": error.message, "fix": error.fix}
    record = refused_record(job.name, job.slug, job.path, job.sha256, status=status, error=words, artwork=artwork)
    findings = []
    if error.check:
        finding = Finding(check=error.check, severity="error", artwork=job.name, message=error.message, fix=error.fix)
        findings.append(finding_record(finding))
    return JobResult(artwork=record | {"findings": findings}, findings=tuple(findings))
