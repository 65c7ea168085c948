"""Gives the jobs that are there already their evidence chains."""

from django.conf import settings
from django.db import migrations
from django.utils import timezone


def take_over(apps, schema_editor):
    """Make events of the rows, in order of time, each marked as taken over."""
    from inspections.evidence_rows import INSPECTIONS_ROWS
    from jobs.evidence_rows import JOBS_ROWS
    from jobs.services.logged_rows import evidence_take_over

    evidence_take_over(models=apps.get_model, kinds=(*JOBS_ROWS, *INSPECTIONS_ROWS), now=timezone.now())


class Migration(migrations.Migration):

    dependencies = [
        ('inspections', '0008_keep_what_was_opened_and_erased'),
        ('jobs', '0009_evidence_log'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(take_over, migrations.RunPython.noop),
    ]
