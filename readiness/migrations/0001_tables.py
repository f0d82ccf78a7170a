import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('register', '0001_tables'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='CoverPolicy',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('plan_review_months', models.PositiveSmallIntegerField(default=12)),
                ('drill_months', models.PositiveSmallIntegerField(default=12)),
                ('share_within_minutes', models.PositiveSmallIntegerField(default=2)),
                ('alarm_minutes', models.PositiveSmallIntegerField(default=1)),
                ('first_aid_within_minutes', models.PositiveSmallIntegerField(default=10)),
                ('restraint_allowance_m', models.FloatField(default=0.5)),
                ('rescuer_kg', models.PositiveSmallIntegerField(default=100)),
            ],
        ),
        migrations.CreateModel(
            name='KeptStatement',
            fields=[
                ('site', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='kept_statement', serialize=False, to='register.site')),
                ('facts_version', models.PositiveBigIntegerField()),
                ('facts', models.CharField(max_length=64, verbose_name='hash of the facts')),
                ('judged_by', models.CharField(max_length=16, verbose_name='mark of the rules')),
                ('made_at', models.DateTimeField()),
                ('took_ms', models.PositiveIntegerField(default=0)),
                ('day_ends_at', models.DateTimeField(db_index=True)),
                ('told_since_at', models.DateTimeField()),
                ('body', models.TextField()),
            ],
            options={
                'ordering': ['site'],
            },
        ),
        migrations.CreateModel(
            name='RemedyTerms',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('examine-kit', 'Examine a kit or its parts'), ('replace-part', 'Replace a part and reseal the kit'), ('reseal', 'Check the contents and put on a new seal'), ('read-label', 'Read a label'), ('release', 'Inspect and release from quarantine'), ('move-kit', 'Move a kit from another site'), ('hire-kit', 'Hire a kit'), ('refresher', 'Train or refresh somebody'), ('person-on-shift', 'Put a trained person on the shift'), ('drill', 'Run a drill'), ('review-plan', 'Review the plan'), ('write-plan', 'Write a plan for the work as it is done'), ('move-place', 'Hang a kit in another place of the site'), ('duplicate-key', 'A key for every shift'), ('first-call', 'Give first call'), ('separate', 'Let two tasks take turns'), ('link-stop-work', 'Let both plans stop other work during a rescue'), ('examine-anchor', 'Examine a rescue anchor'), ('install-anchor', 'Install a rescue anchor'), ('change-task', 'Design the fall out: restraint, rail or platform'), ('postpone', 'Postpone the task')], max_length=20, unique=True)),
                ('lead_hours', models.PositiveSmallIntegerField(verbose_name='hours until it is done')),
                ('cost', models.PositiveIntegerField(verbose_name='cost')),
            ],
            options={
                'verbose_name_plural': 'remedy terms',
                'ordering': ['kind'],
            },
        ),
        migrations.CreateModel(
            name='CourseDate',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('rescuer', 'Rescuer'), ('first aid', 'First aid')], max_length=12)),
                ('family', models.CharField(blank=True, choices=[('controlled descent', 'Controlled descent'), ('haul and lower', 'Haul and lower'), ('raise from shaft', 'Raise from a shaft (tripod)'), ('remote attach', 'Remote attach pole set'), ('evacuation descent', 'Evacuation descent')], max_length=40, verbose_name='kit family')),
                ('held_on', models.DateField(verbose_name='held on')),
            ],
            options={
                'ordering': ['held_on', 'kind', 'family'],
                'constraints': [models.UniqueConstraint(fields=('kind', 'family', 'held_on'), name='course_once_a_day')],
            },
        ),
        migrations.CreateModel(
            name='CoverCheck',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reference', models.CharField(max_length=7, unique=True)),
                ('begins_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField(db_index=True)),
                ('promised', models.JSONField()),
                ('facts', models.CharField(max_length=64, verbose_name='hash of the facts')),
                ('permit_reference', models.CharField(blank=True, max_length=60, verbose_name='reference on the permit to work')),
                ('made_at', models.DateTimeField()),
                ('untrue_at', models.DateTimeField(blank=True, null=True)),
                ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='checks', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='checks', to='register.site')),
            ],
            options={
                'ordering': ['-made_at'],
            },
        ),
        migrations.CreateModel(
            name='Plan',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('version', models.PositiveSmallIntegerField(default=1)),
                ('method', models.CharField(max_length=200, verbose_name='how the casualty is brought to safety')),
                ('steps', models.TextField(blank=True, max_length=1500, verbose_name='its steps, one a line')),
                ('matches_task', models.BooleanField(default=True, verbose_name='fits how the task is done now')),
                ('relies_on_emergency_services', models.BooleanField(default=False, verbose_name='the method is to call the emergency services')),
                ('reviewed_on', models.DateField(verbose_name='reviewed on')),
                ('min_rescuers', models.PositiveSmallIntegerField(default=1, verbose_name='rescuers needed')),
                ('target_minutes', models.PositiveSmallIntegerField(verbose_name='target (minutes)')),
                ('mutual_rescue', models.BooleanField(default=False, verbose_name='those exposed may rescue one another')),
                ('accompanied', models.BooleanField(default=False, verbose_name='a rescuer descends with the casualty')),
                ('stop_work', models.BooleanField(default=False, verbose_name='other work stops during a rescue')),
                ('author', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['task', '-version'],
            },
        ),
        migrations.CreateModel(
            name='Drill',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('drilled_on', models.DateField()),
                ('minutes', models.FloatField()),
                ('note', models.CharField(blank=True, max_length=200)),
                ('kit', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='drills', to='register.kit')),
                ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='drills', to='readiness.plan')),
            ],
            options={
                'ordering': ['-drilled_on', '-pk'],
            },
        ),
        migrations.CreateModel(
            name='RescueCall',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('alarm', models.CharField(max_length=200, verbose_name='how the alarm is raised')),
                ('numbers', models.JSONField(blank=True, default=list, verbose_name='whom to ring')),
                ('meeting_place', models.CharField(blank=True, max_length=200, verbose_name='where the emergency services are met')),
                ('site', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='rescue_call', to='register.site')),
            ],
        ),
        migrations.CreateModel(
            name='ShiftSheet',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day_on', models.DateField()),
                ('shift', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='sheets', to='register.shift')),
            ],
            options={
                'ordering': ['day_on', 'shift'],
                'constraints': [models.UniqueConstraint(fields=('shift', 'day_on'), name='sheet_once_a_shift')],
            },
        ),
        migrations.CreateModel(
            name='Task',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=20, verbose_name='code')),
                ('name', models.CharField(max_length=120, verbose_name='what is done')),
                ('from_on', models.DateField(verbose_name='first day')),
                ('to_on', models.DateField(verbose_name='last day')),
                ('system', models.CharField(choices=[('arrest', 'Fall arrest, work positioning or rope access'), ('restraint', 'Restraint'), ('collective', 'Collective protection (rail, deck, platform)')], max_length=12, verbose_name='protected by')),
                ('heaviest_kg', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='heaviest person with tools (kg)')),
                ('lightest_kg', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='lightest person with tools (kg)')),
                ('recovery', models.CharField(blank=True, choices=[('lower', 'Down'), ('raise', 'Up'), ('both', 'Up and then down'), ('either', 'Up or down')], default='', max_length=8, verbose_name='way to safety')),
                ('remote_attach', models.BooleanField(default=False, verbose_name='the casualty cannot be reached by hand')),
                ('lower_m', models.FloatField(blank=True, null=True, verbose_name='height to lower (m)')),
                ('raise_m', models.FloatField(blank=True, null=True, verbose_name='height to raise (m)')),
                ('stranded', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='could be stranded')),
                ('clearance_required_m', models.FloatField(blank=True, null=True, verbose_name='clearance needed (m)')),
                ('clearance_available_m', models.FloatField(blank=True, null=True, verbose_name='clearance there is (m)')),
                ('restraint_reach_m', models.FloatField(blank=True, null=True, verbose_name='restraint: longest reach (m)')),
                ('restraint_deflection_m', models.FloatField(blank=True, null=True, verbose_name='restraint: line deflection (m)')),
                ('restraint_edge_m', models.FloatField(blank=True, null=True, verbose_name='restraint: distance to edge (m)')),
                ('first_call', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='first call (1 goes first)')),
                ('rescue_anchors', models.ManyToManyField(blank=True, related_name='rescue_tasks', to='register.item')),
                ('shifts', models.ManyToManyField(related_name='tasks', to='register.shift')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tasks', to='register.site')),
                ('zone', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tasks', to='register.zone', verbose_name='zone')),
            ],
            options={
                'ordering': ['site', 'code'],
            },
        ),
        migrations.AddField(
            model_name='plan',
            name='task',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='plans', to='readiness.task'),
        ),
        migrations.CreateModel(
            name='Permit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reference', models.CharField(max_length=60)),
                ('begins_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField(db_index=True)),
                ('kit', models.CharField(max_length=60)),
                ('people', models.JSONField()),
                ('anchor', models.CharField(max_length=20)),
                ('signed_at', models.DateTimeField()),
                ('ended_at', models.DateTimeField(blank=True, null=True)),
                ('cancelled_because', models.CharField(blank=True, max_length=200)),
                ('cover_check', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='permit', to='readiness.covercheck')),
                ('ended_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('signed_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='permits', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='permits', to='register.site')),
                ('task', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='permits', to='readiness.task')),
            ],
            options={
                'ordering': ['signed_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Job',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=20)),
                ('costs', models.CharField(blank=True, max_length=300, verbose_name='what it costs others')),
                ('what', models.CharField(max_length=300, verbose_name='what is to be done')),
                ('due_at', models.DateTimeField(verbose_name='by')),
                ('uses', models.JSONField(blank=True, default=list)),
                ('state', models.CharField(choices=[('open', 'Open'), ('done', 'Done'), ('dropped', 'Dropped')], default='open', max_length=8)),
                ('reason', models.CharField(blank=True, max_length=200, verbose_name='how it ended')),
                ('given_at', models.DateTimeField()),
                ('ended_at', models.DateTimeField(blank=True, null=True)),
                ('about', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.person')),
                ('given_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('item', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='register.item')),
                ('lender', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='jobs_lent', to='register.site')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='register.site')),
                ('who', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='register.person')),
                ('task', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='readiness.task')),
            ],
            options={
                'ordering': ['due_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Exposure',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='exposures', to='register.person')),
                ('shift', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, to='register.shift')),
                ('task', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='exposures', to='readiness.task')),
            ],
        ),
        migrations.AddField(
            model_name='covercheck',
            name='task',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='checks', to='readiness.task'),
        ),
        migrations.CreateModel(
            name='CoverChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('begins_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField(db_index=True)),
                ('before', models.CharField(max_length=24)),
                ('after', models.CharField(max_length=24)),
                ('reasons', models.JSONField(default=list)),
                ('found_at', models.DateTimeField()),
                ('covered_again_at', models.DateTimeField(blank=True, null=True)),
                ('told_at', models.DateTimeField(blank=True, null=True)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='cover_changes', to='register.site')),
                ('told_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('cover_check', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='changes', to='readiness.covercheck')),
                ('task', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='cover_changes', to='readiness.task')),
            ],
            options={
                'ordering': ['begins_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Competence',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('rescuer', 'Rescuer'), ('first aid', 'First aid')], max_length=12, verbose_name='kind')),
                ('family', models.CharField(blank=True, choices=[('controlled descent', 'Controlled descent'), ('haul and lower', 'Haul and lower'), ('raise from shaft', 'Raise from a shaft (tripod)'), ('remote attach', 'Remote attach pole set'), ('evacuation descent', 'Evacuation descent')], max_length=40, verbose_name='kit family')),
                ('from_on', models.DateField(verbose_name='valid from')),
                ('through_on', models.DateField(verbose_name='valid through')),
                ('provider', models.CharField(blank=True, max_length=120, verbose_name='provider')),
                ('evidence', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, to='register.document')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='competences', to='register.person', verbose_name='person')),
            ],
            options={
                'ordering': ['person', 'kind', 'family', '-through_on'],
                'constraints': [models.CheckConstraint(condition=models.Q(('through_on__gte', models.F('from_on'))), name='competence_ends_after_it_begins', violation_error_message='It would end before it begins.'), models.CheckConstraint(condition=models.Q(models.Q(('family__gt', ''), ('kind', 'rescuer')), models.Q(('family', ''), ('kind', 'first aid')), _connector='OR'), name='rescuer_has_a_family', violation_error_message='A rescuer is trained on one family of kits; first aid has none.')],
            },
        ),
        migrations.CreateModel(
            name='KitAbility',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('family', models.CharField(choices=[('controlled descent', 'Controlled descent'), ('haul and lower', 'Haul and lower'), ('raise from shaft', 'Raise from a shaft (tripod)'), ('remote attach', 'Remote attach pole set'), ('evacuation descent', 'Evacuation descent')], max_length=40, verbose_name='kit family')),
                ('lowers', models.BooleanField(default=False, verbose_name='lowers')),
                ('raises', models.BooleanField(default=False, verbose_name='raises')),
                ('attaches_remotely', models.BooleanField(default=False, verbose_name='attaches remotely')),
                ('max_load_kg', models.PositiveSmallIntegerField(verbose_name='rated load, most (kg)')),
                ('min_load_kg', models.PositiveSmallIntegerField(default=0, verbose_name='rated load, least (kg)')),
                ('max_height_m', models.FloatField(verbose_name='greatest height (m)')),
                ('descent_energy_j', models.FloatField(blank=True, null=True, verbose_name='descent energy (J)')),
                ('key_from', models.TimeField(blank=True, null=True, verbose_name='key at hand from')),
                ('key_until', models.TimeField(blank=True, null=True, verbose_name='key at hand until')),
                ('kit', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='ability', to='register.kit')),
                ('locked_shifts', models.ManyToManyField(blank=True, related_name='kits_locked', to='register.shift', verbose_name='locked away on')),
            ],
            options={
                'verbose_name_plural': 'kit abilities',
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('key_from', None), ('key_until', None)), models.Q(('key_from__isnull', False), ('key_until__isnull', False), models.Q(('key_from', models.F('key_until')), _negated=True)), _connector='OR'), name='key_hours_whole', violation_error_message='Give both hours of the key, one after the other, or neither.')],
            },
        ),
        migrations.CreateModel(
            name='PastShift',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('task', models.CharField(max_length=20)),
                ('day_on', models.DateField()),
                ('begins_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('minutes', models.FloatField(default=0)),
                ('covered_minutes', models.FloatField(default=0)),
                ('backed_minutes', models.FloatField(default=0)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='past_shifts', to='register.site')),
            ],
            options={
                'ordering': ['site', 'begins_at', 'task'],
                'indexes': [models.Index(fields=['site', 'day_on'], name='past_of_a_site')],
                'constraints': [models.UniqueConstraint(fields=('site', 'task', 'begins_at', 'ends_at'), name='past_shift_once'), models.CheckConstraint(condition=models.Q(('backed_minutes__lte', models.F('covered_minutes')), ('covered_minutes__lte', models.F('minutes'))), name='no_more_covered_than_there_was')],
            },
        ),
        migrations.CreateModel(
            name='RotaEntry',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day_on', models.DateField(db_index=True, verbose_name='day')),
                ('begins', models.TimeField(blank=True, null=True, verbose_name='comes at')),
                ('ends', models.TimeField(blank=True, null=True, verbose_name='goes at')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rota', to='register.person')),
                ('shift', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rota', to='register.shift')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rota', to='register.site')),
                ('zone', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rota', to='register.zone')),
            ],
            options={
                'verbose_name_plural': 'rota entries',
                'ordering': ['day_on', 'shift', 'person'],
                'indexes': [models.Index(fields=['site', 'shift', 'day_on'], name='rota_of_a_shift')],
                'constraints': [models.UniqueConstraint(fields=('person', 'day_on', 'shift'), name='one_place_a_shift', violation_error_message='This person is on the rota of that shift already.')],
            },
        ),
        migrations.CreateModel(
            name='SiteTravel',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('hours', models.FloatField()),
                ('end', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.site')),
                ('start', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.site')),
            ],
            options={
                'ordering': ['start', 'end'],
                'constraints': [models.UniqueConstraint(fields=('start', 'end'), name='travel_once'), models.CheckConstraint(condition=models.Q(('start', models.F('end')), _negated=True), name='travel_between_two_sites')],
            },
        ),
        migrations.AddConstraint(
            model_name='task',
            constraint=models.UniqueConstraint(fields=('site', 'code'), name='task_once_a_site'),
        ),
        migrations.AddConstraint(
            model_name='task',
            constraint=models.UniqueConstraint(fields=('site', 'first_call'), name='first_call_once_a_site', violation_error_message='Another task of this site has this place already.'),
        ),
        migrations.AddConstraint(
            model_name='task',
            constraint=models.CheckConstraint(condition=models.Q(('to_on__gte', models.F('from_on'))), name='task_ends_after_it_begins', violation_error_message='The last day comes before the first.'),
        ),
        migrations.AddConstraint(
            model_name='plan',
            constraint=models.UniqueConstraint(fields=('task', 'version'), name='plan_version_once'),
        ),
        migrations.AddConstraint(
            model_name='plan',
            constraint=models.CheckConstraint(condition=models.Q(('min_rescuers__gte', 1), ('target_minutes__gte', 1)), name='plan_needs_a_rescuer_and_a_minute', violation_error_message='At least one rescuer and one minute.'),
        ),
        migrations.AddConstraint(
            model_name='exposure',
            constraint=models.UniqueConstraint(fields=('task', 'person', 'shift'), name='exposed_once_a_shift'),
        ),
        migrations.AddConstraint(
            model_name='exposure',
            constraint=models.UniqueConstraint(condition=models.Q(('shift', None)), fields=('task', 'person'), name='exposed_once_on_all_shifts'),
        ),
        migrations.AddConstraint(
            model_name='covercheck',
            constraint=models.CheckConstraint(condition=models.Q(('ends_at__gt', models.F('begins_at'))), name='check_has_a_time'),
        ),
        migrations.CreateModel(
            name='TaskSums',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('topic', models.CharField(choices=[('fall', 'Fall'), ('restraint', 'Restraint'), ('rescue', 'Rescue')], max_length=12)),
                ('version', models.PositiveSmallIntegerField(default=1)),
                ('figures', models.JSONField()),
                ('rests_on', models.JSONField(blank=True, default=dict)),
                ('made_on', models.DateField()),
                ('made_at', models.DateTimeField()),
                ('anchor', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.item')),
                ('author', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('product', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.product')),
                ('task', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='sums', to='readiness.task')),
            ],
            options={
                'ordering': ['task', 'topic', '-version'],
                'constraints': [models.UniqueConstraint(fields=('task', 'topic', 'version'), name='sums_version_once'), models.CheckConstraint(condition=models.Q(('version__gte', 1)), name='sums_version_from_one')],
            },
        ),
    ]
