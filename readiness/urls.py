"""Addresses of this app."""

from django.urls import URLPattern, URLResolver, include, path

from readiness.lists.every import LISTS
from readiness.views import (
    ahead,
    archive,
    calendars,
    checks,
    cover,
    fall,
    jobs,
    kits,
    lists,
    packs,
    people,
    permits,
    plans,
    policy,
    remedies,
    rescue,
    restraint,
    rota,
    tasks,
    terms,
    traces,
    trend,
    walls,
    weeks,
    what_if,
)
from register.views.lists import files

app_name = "readiness"

of_a_task: list[URLPattern | URLResolver] = [
    path("", tasks.task_detail, name="task-detail"),
    path("edit/", tasks.task_edit, name="task-edit"),
    path("end/", tasks.task_end, name="task-end"),
    path("exposed/", tasks.task_exposed, name="task-exposed"),
    path("why/", cover.task_why, name="task-why"),
    path("fall/", fall.task_fall, name="task-fall"),
    path("fall/sheet.pdf", fall.task_fall_sheet, name="task-fall-sheet"),
    path("rescue/", rescue.task_rescue, name="task-rescue"),
    path("restraint/", restraint.task_restraint, name="task-restraint"),
    path("remedies/", remedies.task_remedies, name="task-remedies"),
    path("remedies/accept/", remedies.remedies_accept, name="remedies-accept"),
    path("plan/", plans.plan_edit, name="plan-edit"),
    path("check/", checks.check_keep, name="check-keep"),
    path("plan/review/", plans.plan_review, name="plan-review"),
    path("drill/", plans.drill_new, name="drill-new"),
]

of_a_site: list[URLPattern | URLResolver] = [
    path("cover/", cover.site_cover, name="site-cover"),
    path("remedies/", remedies.site_remedies, name="site-remedies"),
    path("what-if/", what_if.site_what_if, name="site-what-if"),
    path("what-if/file/", what_if.what_if_download, name="what-if-download"),
    path("ahead/", weeks.site_ahead, name="site-ahead"),
    path("alarm/", walls.alarm_edit, name="alarm-edit"),
    path("sheets/<str:day>/<int:shift>/", walls.wall_sheet, name="wall-sheet"),
    path("first-call/", tasks.first_call, name="first-call"),
    path("tasks/", tasks.task_list, name="task-list"),
    path("tasks/new/", tasks.task_new, name="task-new"),
    path("tasks/<slug:task>/", include(of_a_task)),
]

urlpatterns = [
    path("check/<str:reference>/", checks.cover_check, name="cover-check"),
    path("check/<str:reference>/sign/", permits.permit_sign, name="permit-sign"),
    path("check/<str:reference>/close/", permits.permit_close, name="permit-close"),
    path("check/<str:reference>/cancel/", permits.permit_cancel, name="permit-cancel"),
    path("cover-changes/<int:pk>/known/", checks.change_known, name="change-known"),
    path("calendar/<str:secret>.ics", calendars.calendar_feed, name="calendar-feed"),
    path("morning/", cover.morning, name="morning"),
    path("sites/<slug:site>/", include(of_a_site)),
    path("packs/<slug:site>.json", packs.pack, name="pack"),
    path("notices/<int:pk>/trace/", traces.notice_trace, name="notice-trace"),
    path("trend/", trend.trend, name="trend"),
    path("lapses/", ahead.lapse_list, name="lapse-list"),
    path("hangs-on/", ahead.hangs_on, name="hangs-on"),
    path("leave/", ahead.leave_check, name="leave-check"),
    path("rota/", rota.rota, name="rota"),
    path("rota/<int:entry>/remove/", rota.rota_remove, name="rota-remove"),
    path("training/", people.competence_list, name="competence-list"),
    path("training/new/", people.competence_new, name="competence-new"),
    path("policy/", policy.policy_edit, name="policy-edit"),
    path("jobs/", jobs.job_list, name="job-list"),
    path("jobs/<int:pk>/end/", jobs.job_end, name="job-end"),
    path("terms/", terms.terms_edit, name="terms-edit"),
    path("kits/<str:name>/card/", walls.kit_card, name="kit-card"),
    path("kits/<str:name>/rating/", kits.kit_rate, name="kit-rate"),
    path("archive/", archive.archive, name="archive"),
    path("lists/", lists.list_columns, name="list-columns"),
    *files(*LISTS),
]
