"""How the desk is set up: one process, SQLite and a folder.

WITNESSMARK_DATA        the data folder; `serve --data` sets it
WITNESSMARK_HOSTS       names and addresses it answers to beside loopback, with commas; `serve --lan` sets it
WITNESSMARK_TLS         “1” where pages go out encrypted; `serve --lan` sets it
WITNESSMARK_NOW         fixes the clock, for tests and pictures
WITNESSMARK_AHEAD       seconds by which the clock is ahead: the demo's own time
WITNESSMARK_FIRST_CODE  the one-time code of the first owner; `serve` makes it
WITNESSMARK_SERVED      “1” below `serve`: a worker ends when what started it does
WITNESSMARK_COLLECTED   “1” where static files stand in the data folder's `static`, small and named by their content;
                        `serve` puts them there
"""

import os
import secrets
import tempfile
import warnings
from pathlib import Path
from typing import Any

from csp.constants import NONCE, NONE, SELF


def data_folder() -> Path:
    """The data folder; a passing one where nobody named any, so that a stray import never writes into a shop."""
    named = os.environ.get("WITNESSMARK_DATA")
    return Path(named) if named else Path(tempfile.gettempdir()) / f"witnessmark-{os.getpid()}"


DATA = data_folder()
TLS = os.environ.get("WITNESSMARK_TLS") == "1"
FIRST_CODE = os.environ.get("WITNESSMARK_FIRST_CODE", "")
FIXED_NOW = os.environ.get("WITNESSMARK_NOW", "")
CLOCK_AHEAD = float(os.environ.get("WITNESSMARK_AHEAD") or 0)


def secret_key() -> str:
    """The key that signs sessions: made once and kept in the data folder, for its owner's eyes only."""
    file = DATA / "secret"
    try:
        return file.read_text("ascii")
    except FileNotFoundError:
        if not DATA.is_dir():
            return secrets.token_urlsafe(50)
    made = secrets.token_urlsafe(50)
    try:
        with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as out:
            out.write(made)
    except FileExistsError:  # made by another process meanwhile
        return file.read_text("ascii")
    return made


SECRET_KEY = secret_key()
DEBUG = False
LOOPBACK = ["localhost", "127.0.0.1", "[::1]"]
ALLOWED_HOSTS = [*LOOPBACK, *filter(None, os.environ.get("WITNESSMARK_HOSTS", "").split(","))]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "axes",
    "django_tasks",
    "django_tasks_db",
    "witnessmark.record",
    "witnessmark.desk",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "witnessmark.desk.door.DoorMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "witnessmark.desk.urls"
ASGI_APPLICATION = "witnessmark.desk.asgi.application"

TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "witnessmark.desk.door.every_page",
            ],
        },
    }
]

DATABASES: dict[str, Any] = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": DATA / "witnessmark.sqlite3",
        "OPTIONS": {
            # A read that turns into a write would otherwise fail at once when another writes.
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            # FULL: an entry that was acknowledged is still there after the power went.
            "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;",
        },
    }
}

AUTH_USER_MODEL = "record.Person"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "enter"
LOGIN_REDIRECT_URL = "stock"

# Ten wrong passwords from one place, for one name or for several, then a quarter of an hour's rest. A right one does
# not wipe them out: whoever has a password of their own could else guess at another's without end.
AXES_FAILURE_LIMIT = 10
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"], "ip_address"]
AXES_LOCKOUT_CALLABLE = "witnessmark.desk.entering.locked_out"
AXES_USERNAME_FORM_FIELD = "name"
AXES_RESET_ON_SUCCESS = False
AXES_ENABLE_ACCESS_FAILURE_LOG = False
AXES_DISABLE_ACCESS_LOG = True

# A working day over the network, where a phone that is to stay is paired; a month at the computer itself.
SESSION_COOKIE_AGE = 12 * 3600 if TLS else 30 * 24 * 3600
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = TLS
SECURE_HSTS_SECONDS = 7 * 24 * 3600 if TLS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = False
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"
SILENCED_SYSTEM_CHECKS = [
    "security.W005",  # a shop's machine has no subdomains
    "security.W021",  # nor a place on a browser's preload list
]
if not TLS:  # on loopback pages never leave the machine
    SILENCED_SYSTEM_CHECKS += [
        "security.W004",  # HSTS: no certificate names this machine, so there is no encrypted page to insist on
        "security.W008",  # nor one to send on to
        "security.W012",  # a session cookie for encrypted pages only would never be sent
        "security.W016",  # nor the CSRF cookie
    ]

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF, NONCE],
        "style-src": [SELF],
        "img-src": [SELF, "blob:", "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "worker-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}

STATIC_URL = "static/"
COLLECTED = os.environ.get("WITNESSMARK_COLLECTED") == "1"
STATIC_ROOT = DATA / "static" if COLLECTED else None
STORAGES: dict[str, Any] = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "witnessmark.desk.static_files.Small"
        if COLLECTED
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = not COLLECTED
WHITENOISE_AUTOREFRESH = False
# Whitenoise sends files piece by piece without async; granian reads them in a thread, which is what Django warns of.
warnings.filterwarnings("ignore", "StreamingHttpResponse must consume synchronous iterators", Warning)

DATA_UPLOAD_MAX_MEMORY_SIZE = 10 * 1024 * 1024  # of a form without its files
BODY_LIMIT = 400 * 1024 * 1024  # of a request as a whole, told before it is read: a day of photographs of a good phone
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
FILE_UPLOAD_TEMP_DIR = None

TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"stderr": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
    # What somebody asked for in vain is told to them; the terminal is for what the owner has to do.
    "loggers": {name: {"level": "CRITICAL"} for name in ("axes", "django.security")}
    | {
        "django.request": {"level": "ERROR"},
    },
}
