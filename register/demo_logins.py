"""The logins of the demo: shown on the demo's login page and nowhere else."""

from __future__ import annotations

from dataclasses import dataclass

from register.models import Role

DEMO_PASSWORD = "hook-and-line"  # noqa: S105 - public on purpose, and made on the demo only


@dataclass(frozen=True, slots=True)
class DemoLogin:
    """One login of the demo: who it is, in which role, and what to try with it."""

    username: str
    name: str
    role: str
    site: str
    tries: str

    @property
    def role_name(self) -> str:
        return str(Role(self.role).label)


DEMO_LOGINS = (
    DemoLogin("oyelaran", "Oyelaran Adebayo", "manager", "", "which sites lack rescue cover"),
    DemoLogin(
        "petra", "Petra Voss", "stores-controller", "", "issue, receive, bring in a workbook"
    ),
    DemoLogin("huw", "Huw Penry", "competent-person", "", "pass and fail items by their tags"),
    DemoLogin("morag", "Morag Dunnet", "supervisor", "corrick", "her site, its rota and drills"),
    DemoLogin("sunniva", "Sunniva Rask", "supervisor", "skelhope", "her site, its rota and drills"),
    DemoLogin("neve", "Neve Aldous", "planner", "", "tasks and rescue plans"),
    DemoLogin("piers", "Piers Lockwood", "approver", "", "read plans and the cover they give"),
    DemoLogin("tomasz", "Tomasz Bielak", "worker", "corrick", "look up a tag, quarantine an item"),
    DemoLogin("gwen", "Gwen Marsh", "auditor", "", "read everything, change nothing"),
    DemoLogin("ade", "Ade Foss", "administrator", "", "people and roles, no inspections"),
)
