"""Django settings. Everything a shop may want to change comes from the environment; see README.md."""

from pathlib import Path
from typing import Any

import dj_database_url
from celery.schedules import crontab
from whitenoise.compress import Compressor

from config import environment

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = environment.folder("FLUEWRIGHT_VAR", BASE_DIR / "var")

DEBUG = environment.flag("DEBUG")
SECRET_KEY = environment.text("SECRET_KEY") or environment.kept_secret(VAR_DIR / "secret_key")

# One address gives allowed hosts, CSRF origins, cookie safety and every link in a mail.
SITE_URL = environment.text("SITE_URL", "http://127.0.0.1:8000").rstrip("/")
_site = environment.address_split("SITE_URL", SITE_URL)
ALLOWED_HOSTS = [_site.hostname or "127.0.0.1"]
if environment.is_loopback(_site.hostname):
    ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]"]
CSRF_TRUSTED_ORIGINS = [SITE_URL]
_sealed = _site.scheme == "https"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = _sealed
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if _sealed else None
SECURE_HSTS_SECONDS = 31_536_000 if _sealed else 0
# The shop's other host names are not this program's business.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
# How many proxies stand in front. Rate limits count by the address that the outermost of them saw.
ALLAUTH_TRUSTED_PROXY_COUNT = environment.number("TRUSTED_PROXIES", 1 if _sealed else 0)
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14

INSTALLED_APPS = [
    "jobs.apps.JobsConfig",
    "inspections.apps.InspectionsConfig",
    "config.apps.ProjectConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.humanize",
    "whitenoise.runserver_nostatic",
    "config.apps.ServedFilesConfig",
    "django.forms",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "crispy_forms",
    "crispy_bootstrap5",
    "django_htmx",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "config.middleware.content_security_policy",
    "config.middleware.nothing_kept",
    "config.middleware.one_photo_at_most",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "config.middleware.shop_clock",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "config.twice.done_once",
    "config.refusals.said_plainly",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "jobs.context_processors.shop",
            ],
        },
    },
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"
CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"

SQLITE_OPTIONS = {
    # IMMEDIATE takes the write lock at BEGIN, so two workers queue up instead of failing at COMMIT.
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    # What is erased is overwritten, not only left to whoever needs the room next.
    "init_command": (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA busy_timeout=20000;"
        " PRAGMA secure_delete=ON;"
    ),
}
DATABASE_URL = environment.text("DATABASE_URL")
if DATABASE_URL:
    DATABASES = {"default": dj_database_url.parse(DATABASE_URL, conn_max_age=60, conn_health_checks=True)}
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": str(VAR_DIR / "fluewright.sqlite3"),
            "OPTIONS": SQLITE_OPTIONS,
        }
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

REDIS_URL = environment.text("REDIS_URL")
if REDIS_URL:
    CACHES: dict[str, Any] = {
        "default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
    }
    CELERY_BROKER_URL = REDIS_URL
else:
    # Login rate limits count in the cache, so every web process must see the same one.
    CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.db.DatabaseCache",
            "LOCATION": "cache",
            # Few entries would let a flood of logins push the counts of earlier ones out.
            "OPTIONS": {"MAX_ENTRIES": 100_000},
        }
    }
    CELERY_BROKER_URL = "folder://localhost"
    CELERY_BROKER_TRANSPORT_OPTIONS = {"folder": str(VAR_DIR / "broker"), "polling_interval": 0.5}
CELERY_TASK_IGNORE_RESULT = True
# A row's lease is five minutes: a task is stopped before another worker may take its row.
CELERY_TASK_SOFT_TIME_LIMIT = 180
CELERY_TASK_TIME_LIMIT = 240
CELERY_WORKER_CONCURRENCY = 2
# A process stays at about 200 MB however many papers it makes; one that grew past this (in kB) is replaced.
CELERY_WORKER_MAX_MEMORY_PER_CHILD = 400_000
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_MAX_TASKS_PER_CHILD = 500
# Nobody steers workers from afar, and each such queue would be polled for nothing.
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_TIMEZONE = "UTC"
CELERY_BEAT_SCHEDULE_FILENAME = str(VAR_DIR / "scheduler")
CELERY_BEAT_SCHEDULE = {
    "beat the heart": {"task": "jobs.tasks.beat_heart", "schedule": 20.0},
    "pick up mail left behind": {"task": "jobs.tasks.pick_up_left_mail", "schedule": 30.0},
    "pick up documents left behind": {"task": "jobs.tasks.pick_up_left_documents", "schedule": 30.0},
    "prepare photos left behind": {"task": "inspections.tasks.pick_up_left_photos", "schedule": 30.0},
    "queue reminders": {"task": "jobs.tasks.queue_due_reminders", "schedule": crontab(minute="*/10")},
    "clear parts of photos away": {
        "task": "inspections.tasks.drop_left_photo_parts",
        "schedule": crontab(hour="3", minute="17"),
    },
    "export and erase what was left": {"task": "inspections.tasks.pick_up_left_customers", "schedule": 60.0},
    "drop what is past keeping": {
        "task": "inspections.tasks.drop_what_is_past_keeping",
        "schedule": crontab(hour="3", minute="37"),
    },
}
for _entry in CELERY_BEAT_SCHEDULE.values():
    # Rings that pile up while no worker runs are worth nothing once the next one has come.
    _entry["options"] = {"expires": 60}

MAIL_URL = environment.text("MAIL_URL", f"folder://{VAR_DIR / 'mail'}")
vars().update(environment.mail_settings(MAIL_URL))
MAIL_FROM = environment.text("MAIL_FROM")
DEFAULT_FROM_EMAIL = MAIL_FROM or f"office@{_site.hostname}"

# Papers are sealed with a key made at first use, unless the shop names a certificate of its own.
SEAL_CERTIFICATE = environment.text("SEAL_CERTIFICATE")
SEAL_KEY = environment.text("SEAL_KEY")
SEAL_PASSWORD = environment.text("SEAL_PASSWORD")
TIMESTAMP_URL = environment.text("TIMESTAMP_URL")

AUTH_USER_MODEL = "jobs.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in ("MinimumLengthValidator", "CommonPasswordValidator", "NumericPasswordValidator")
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "today"
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_ADAPTER = "jobs.accounts.StaffAccountAdapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_USER_MODEL_EMAIL_FIELD = "email"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
# Nobody can sign up, so a stranger's address gets no mail.
ACCOUNT_EMAIL_UNKNOWN_ACCOUNTS = False
ACCOUNT_SESSION_REMEMBER = True
ACCOUNT_RATE_LIMITS = {
    "login": "30/m/ip",
    "login_failed": "10/m/ip,5/5m/key",
    "reset_password": "20/m/ip,5/m/key",
}
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]
MFA_TOTP_ISSUER = "Fluewright"

LANGUAGE_CODE = "en-us"
TIME_ZONE = "UTC"
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
NODE_MODULES = BASE_DIR / "node_modules"
# Packages of the npm registry are served from where npm put them; none is copied into this tree.
STATICFILES_DIRS = [
    BASE_DIR / "static",
    *(
        (prefix, str(folder))
        for prefix, folder in (
            ("bootstrap", NODE_MODULES / "bootstrap" / "dist"),
            ("htmx", NODE_MODULES / "htmx.org" / "dist"),
            ("signature_pad", NODE_MODULES / "signature_pad" / "dist"),
            ("idb", NODE_MODULES / "idb" / "build"),
            ("lit-html", NODE_MODULES / "lit-html"),
            ("fonts/text", NODE_MODULES / "@fontsource" / "atkinson-hyperlegible" / "files"),
            ("fonts/display", NODE_MODULES / "@fontsource" / "barlow-condensed" / "files"),
        )
        if folder.is_dir()
    ),
]
MEDIA_ROOT = Path(environment.text("MEDIA_DIR", str(VAR_DIR / "media")))
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
# What gives papers the pictures they name by hash.
PAPER_PICTURES = "inspections.services.print_copies.print_copy_read"
WHITENOISE_SKIP_COMPRESS_EXTENSIONS = [*Compressor.SKIP_COMPRESS_EXTENSIONS, "map"]
# A tablet's camera makes 12 MB pictures; a request carries one.
PHOTO_MAX_BYTES = 25 * 1024 * 1024
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {
            "()": "config.logs.KeylessFormatter",
            "format": "%(asctime)s %(levelname)s %(name)s: %(message)s",
        }
    },
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "INFO"},
    # They tell every step of every document.
    "loggers": {name: {"level": "WARNING"} for name in ("weasyprint.progress", "fontTools")},
}
