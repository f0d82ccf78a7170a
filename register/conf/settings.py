"""The settings of Tallyhook; the environment is read here and nowhere else."""

from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONE, SELF

from register.conf import env

BASE_DIR = Path(__file__).resolve().parents[2]
DEBUG = env.switch("DEBUG", default=False)
DEMO = env.switch("DEMO", default=False)
DATA_DIR = Path(env.text("DATA_DIR") or BASE_DIR / ".data")
if DEMO:
    DATA_DIR /= "demo"  # what is invented never lies beside what is real
SECRET_KEY = env.secret("SECRET_KEY", kept_in=DATA_DIR / "secret_key")
PUBLIC_URL = env.address("PUBLIC_URL", "http://localhost:8000")
PUBLIC_HOST = urlsplit(PUBLIC_URL).hostname or "localhost"
ALLOWED_HOSTS = env.words("ALLOWED_HOSTS", f"{PUBLIC_HOST},localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = [PUBLIC_URL]
SECURE = PUBLIC_URL.startswith("https://")

INSTALLED_APPS = [
    "register",
    "inspections",
    "readiness",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_tables2",
    "django_filters",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "csp",
    "axes",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "register.conf.headers.KeepToOurselves",
    "register.conf.packing.PackStaticFiles",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "register.conf.urls"
WSGI_APPLICATION = "register.conf.wsgi.application"

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
                "register.conf.navigation.navigation",
                "register.conf.navigation.languages",
            ],
        },
    },
]

DATABASES = {"default": env.database("DATABASE_URL", embedded=DATA_DIR / "tallyhook.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "register.User"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "register.signing_in.SigningIn"]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]

# Guessing passwords: so many tries by one name from one address, then a rest. By both together, so
# that neither a shared address nor a known name shuts anybody else out.
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "registration/too_many_tries.html"
AXES_HTTP_RESPONSE_CODE = 429
AXES_DISABLE_ACCESS_LOG = True  # who signed in from where is nobody's business afterwards
AXES_VERBOSE = False

ACCOUNT_ADAPTER = "register.second_factor.Accounts"
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*"]  # nobody signs up: users are entered
ACCOUNT_REAUTHENTICATION_TIMEOUT = 10 * 60  # seconds that a password given again lasts
MFA_ADAPTER = "register.second_factor.SecondFactors"
MFA_FORMS = {
    "add_webauthn": "register.forms.sign_in.PasskeyForm",
    "edit_webauthn": "register.forms.sign_in.PasskeyNameForm",
}
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_TOTP_ISSUER = "Tallyhook"
MFA_TOTP_TOLERANCE = 1  # a phone's clock may be half a minute off
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = not SECURE  # browsers offer it to localhost alone then
METRICS_TOKEN = env.text("METRICS_TOKEN")
SECOND_FACTOR_ROLES = frozenset(env.words("SECOND_FACTOR_ROLES", ""))

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("pl", "Polski")]  # each by its own name for itself
LANGUAGES_TO_REVIEW = {"pl"}  # no inspector whose language it is has read it yet; its pages say so
LOCALE_PATHS = [
    *(BASE_DIR / "templates" / app / "locale" for app in ("register", "inspections", "readiness")),
    BASE_DIR / "templates" / "locale",
    BASE_DIR / "fixtures" / "checklists" / "locale",
]
FORMAT_MODULE_PATH = ["register.conf.formats"]
LANGUAGE_COOKIE_AGE = 365 * 24 * 60 * 60
LANGUAGE_COOKIE_HTTPONLY = True
LANGUAGE_COOKIE_SAMESITE = "Lax"
LANGUAGE_COOKIE_SECURE = SECURE
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"  # moments are UTC inside; each page shows its site's own time

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = DATA_DIR / "files"
MAX_UPLOAD_BYTES = 100 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

PAPER_KINDS = [  # every kind of paper, where its value stands
    *(
        f"inspections.documents.kinds.{name}"
        for name in ("RECORD", "EXAMINATION", "INSPECTION", "ROUND", "WITHDRAWAL", "BLANK")
    ),
    "inspections.documents.handover.HANDOVER",
    "inspections.documents.known_record.AS_KNOWN",
    "readiness.documents.kit_card.KIT_CARD",
    "readiness.documents.trace_list.TRACE_LIST",
    "readiness.documents.wall_sheet.WALL_SHEET",
]
SEAL_FILE = DATA_DIR / "seal.p12"  # the key of papers, made once
SEAL_PKCS12 = env.file("SEAL_PKCS12")  # or the employer's own
SEAL_PASSPHRASE = env.text("SEAL_PASSPHRASE")

TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

MAIL = env.mail("EMAIL_URL", kept_in=DATA_DIR / "mail", to_files=DEMO)
MAIL_ON = bool(MAIL)
MAIL_FROM = env.mailbox("EMAIL_FROM", f"tallyhook@{PUBLIC_HOST}")
globals().update(MAIL)

DJANGO_TABLES2_TEMPLATE = "parts/_table.html"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_SSL_REDIRECT = SECURE
SECURE_HSTS_SECONDS = 31_536_000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = SECURE
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SECURE else None
SESSION_COOKIE_SECURE = SECURE
CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
X_FRAME_OPTIONS = "DENY"

LOG_FORMAT = env.one_of("LOG_FORMAT", "line", {"line", "json"})
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"},
        "json": {
            "()": "pythonjsonlogger.json.JsonFormatter",
            "format": "{asctime} {levelname} {name} {message}",
            "style": "{",
            "rename_fields": {"asctime": "at", "levelname": "level", "name": "logger"},
        },
    },
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": LOG_FORMAT}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
