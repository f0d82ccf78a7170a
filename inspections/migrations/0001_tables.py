import django.db.models.deletion
import uuid
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
            name='Event',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('kind', models.CharField(choices=[('arrest', 'A fall was arrested'), ('load', 'May have taken a load'), ('drop', 'Dropped or thrown'), ('flood', 'Flood or soaking'), ('chemical', 'Chemical, oil, paint or dirt'), ('heat', 'Heat, flame or sparks'), ('lightning', 'Lightning or electric current'), ('storage', 'Long storage'), ('found', 'Found after it was lost'), ('load-test', 'Load test of an anchor')], default='arrest', max_length=12, verbose_name='what happened')),
                ('place', models.CharField(blank=True, max_length=120, verbose_name='where exactly')),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('account', models.TextField(blank=True, verbose_name='what happened, in words')),
                ('hold', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='event', to='register.hold')),
                ('recorded_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='register.site')),
                ('zone', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.zone')),
            ],
            options={
                'ordering': ['-happened_at'],
            },
        ),
        migrations.CreateModel(
            name='ChecklistVersion',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('equipment_class', models.CharField(choices=[('harness', 'Harness'), ('rescue-harness', 'Rescue harness'), ('rescue-loop', 'Rescue loop'), ('positioning-lanyard', 'Work positioning belt or lanyard'), ('lanyard', 'Lanyard without absorber'), ('energy-absorbing-lanyard', 'Energy-absorbing lanyard'), ('sling', 'Anchor sling'), ('connector', 'Connector'), ('retractable', 'Retractable fall arrester'), ('guided-arrester', 'Guided fall arrester'), ('rope', 'Low-stretch rope'), ('anchor', 'Anchor device'), ('horizontal-lifeline', 'Horizontal lifeline'), ('tripod', 'Tripod or davit'), ('rope-adjuster', 'Rope-access descender, ascender or back-up'), ('descender', 'Descender device for rescue'), ('lifting-device', 'Rescue lifting device'), ('pulley', 'Pulley'), ('stretcher', 'Stretcher'), ('tool', 'Cut-away tool, edge protector or pole'), ('helmet', 'Helmet'), ('rescue-kit', 'Rescue kit')], max_length=40)),
                ('number', models.PositiveIntegerField()),
                ('sha256', models.CharField(max_length=64, unique=True)),
                ('content', models.JSONField()),
                ('kept_at', models.DateTimeField()),
            ],
            options={
                'ordering': ['equipment_class', 'number', 'kept_at'],
            },
        ),
        migrations.CreateModel(
            name='Due',
            fields=[
                ('item', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='due', serialize=False, to='register.item')),
                ('last_good_on', models.DateField(db_index=True, null=True)),
                ('clock', models.CharField(max_length=40)),
                ('source', models.CharField(blank=True, max_length=200)),
                ('regime', models.CharField(blank=True, max_length=16)),
            ],
            options={
                'ordering': ['last_good_on'],
            },
        ),
        migrations.CreateModel(
            name='InspectionMinutes',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('equipment_class', models.CharField(choices=[('harness', 'Harness'), ('rescue-harness', 'Rescue harness'), ('rescue-loop', 'Rescue loop'), ('positioning-lanyard', 'Work positioning belt or lanyard'), ('lanyard', 'Lanyard without absorber'), ('energy-absorbing-lanyard', 'Energy-absorbing lanyard'), ('sling', 'Anchor sling'), ('connector', 'Connector'), ('retractable', 'Retractable fall arrester'), ('guided-arrester', 'Guided fall arrester'), ('rope', 'Low-stretch rope'), ('anchor', 'Anchor device'), ('horizontal-lifeline', 'Horizontal lifeline'), ('tripod', 'Tripod or davit'), ('rope-adjuster', 'Rope-access descender, ascender or back-up'), ('descender', 'Descender device for rescue'), ('lifting-device', 'Rescue lifting device'), ('pulley', 'Pulley'), ('stretcher', 'Stretcher'), ('tool', 'Cut-away tool, edge protector or pole'), ('helmet', 'Helmet'), ('rescue-kit', 'Rescue kit')], max_length=30, unique=True, verbose_name='class')),
                ('minutes', models.PositiveSmallIntegerField()),
            ],
            options={
                'verbose_name_plural': 'inspection minutes',
                'ordering': ['equipment_class'],
            },
        ),
        migrations.CreateModel(
            name='Regime',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('schemes', models.JSONField(default=list)),
                ('shorter', models.JSONField(blank=True, default=dict)),
                ('anniversary_is_late', models.BooleanField(default=False)),
            ],
        ),
        migrations.CreateModel(
            name='RememberedColumn',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('heading', models.CharField(max_length=200, unique=True)),
                ('field', models.CharField(max_length=30)),
            ],
            options={
                'ordering': ['heading'],
            },
        ),
        migrations.CreateModel(
            name='VisitTerms',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('visit_minutes', models.PositiveSmallIntegerField(default=90, verbose_name='way and setting up, a visit')),
            ],
        ),
        migrations.CreateModel(
            name='Authorisation',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('classes', models.JSONField(blank=True, default=list)),
                ('kinds', models.JSONField(blank=True, default=list)),
                ('from_on', models.DateField()),
                ('through_on', models.DateField()),
                ('basis', models.CharField(blank=True, max_length=120, verbose_name='evidence of competence')),
                ('independence', models.CharField(blank=True, max_length=200, verbose_name='independent of whom, how')),
                ('given_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='authorisations', to='register.person')),
            ],
            options={
                'ordering': ['person', 'from_on'],
            },
        ),
        migrations.CreateModel(
            name='EventAccount',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('at', models.DateTimeField(verbose_name='told at')),
                ('text', models.TextField(verbose_name='what is to be added')),
                ('by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('event', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='accounts', to='inspections.event')),
            ],
            options={
                'ordering': ['at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='EventItem',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('part', models.CharField(choices=[('concerned', 'Concerned'), ('load-path', 'In the load path'), ('in-doubt', 'Perhaps in the load path'), ('same-line', 'On the same line'), ('rescue-kit', 'Used in the rescue')], default='concerned', max_length=12)),
                ('event', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lines', to='inspections.event')),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='event_lines', to='register.item')),
            ],
            options={
                'ordering': ['pk'],
            },
        ),
        migrations.AddField(
            model_name='event',
            name='items',
            field=models.ManyToManyField(related_name='events', through='inspections.EventItem', to='register.item'),
        ),
        migrations.CreateModel(
            name='Inspection',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('kind', models.CharField(choices=[('pre-use', 'Pre-use check'), ('acceptance', 'Acceptance'), ('interim', 'Interim inspection'), ('detailed', 'Periodic examination'), ('thorough-examination', 'Thorough examination'), ('after-event', 'After-event inspection'), ('special', 'Special inspection for a safety notice'), ('maker-service', "Maker's service"), ('installation', 'Installation and proof test'), ('kit-check', 'Kit contents and seal check'), ('sighting', 'Stock-take sighting')], max_length=24)),
                ('verdict', models.CharField(choices=[('pass', 'Pass'), ('pass-with-conditions', 'Pass with conditions'), ('refer', 'Refer to the maker or an engineer'), ('fail', 'Fail'), ('not-presented', 'Not presented'), ('not-identified', 'Not identified'), ('not-accessible', 'Not accessible')], max_length=24)),
                ('performed_on', models.DateField()),
                ('performed_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('inspector_text', models.CharField(blank=True, max_length=120, verbose_name='inspector, as written')),
                ('counts', models.BooleanField(default=False)),
                ('counts_not_because', models.CharField(blank=True, max_length=40)),
                ('signed_at', models.DateTimeField(blank=True, null=True, verbose_name='signed with its round at')),
                ('statement', models.CharField(blank=True, choices=[('all-good', 'All points looked at, all good'), ('rest-good', 'All other points looked at, good')], max_length=12, verbose_name='said of the points')),
                ('answers', models.JSONField(blank=True, default=dict)),
                ('measured', models.JSONField(blank=True, default=dict)),
                ('contents', models.JSONField(blank=True, default=list, verbose_name='pieces of the kit')),
                ('left_shut', models.BooleanField(default=False, verbose_name='kit not opened, its seal whole')),
                ('good_until_on', models.DateField(blank=True, null=True, verbose_name='good until, if shorter')),
                ('restricted_to', models.CharField(blank=True, max_length=60, verbose_name='only for')),
                ('covers_periodic', models.BooleanField(default=False, verbose_name='the maker’s periodic examination procedure was followed')),
                ('note', models.CharField(blank=True, max_length=400)),
                ('source', models.CharField(choices=[('direct', 'Recorded at the item'), ('paper', 'Entered later from paper'), ('brought-in', 'Brought in from a workbook')], default='direct', max_length=12)),
                ('late_reason', models.CharField(blank=True, max_length=200, verbose_name='why it was entered later')),
                ('superseding_reason', models.CharField(blank=True, max_length=200)),
                ('authority', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='inspections.authorisation')),
                ('checklist', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='inspections.checklistversion')),
                ('document', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='inspections', to='register.document')),
                ('inspector', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='inspections', to='register.person')),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='inspections', to='register.item')),
                ('recorded_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='inspections_recorded', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.site')),
                ('supersedes', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='superseded_by', to='inspections.inspection')),
            ],
            options={
                'ordering': ['-performed_at', '-recorded_at'],
            },
        ),
        migrations.CreateModel(
            name='Defect',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('grade', models.CharField(choices=[('A', 'Is a danger now'), ('B', 'Could become a danger by a date'), ('C', 'Observation')], max_length=1, verbose_name='how bad')),
                ('danger_by_on', models.DateField(blank=True, null=True, verbose_name='could become a danger by')),
                ('what', models.CharField(max_length=200, verbose_name='what is wrong')),
                ('place', models.CharField(blank=True, max_length=80, verbose_name='where on the item')),
                ('point', models.CharField(blank=True, max_length=60, verbose_name='point of the checklist')),
                ('action', models.CharField(blank=True, max_length=200, verbose_name='what was done')),
                ('photo', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='defects', to='register.document')),
                ('inspection', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='defects', to='inspections.inspection')),
            ],
            options={
                'ordering': ['pk'],
            },
        ),
        migrations.CreateModel(
            name='InspectorHours',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('minutes_a_day', models.PositiveSmallIntegerField()),
                ('weekdays', models.JSONField(default=list)),
                ('person', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='inspector_hours', to='register.person')),
            ],
            options={
                'verbose_name_plural': 'inspector hours',
                'ordering': ['person'],
            },
        ),
        migrations.CreateModel(
            name='Intake',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('brought_on', models.DateField()),
                ('state', models.CharField(choices=[('read', 'Columns to be looked at'), ('planning', 'Being looked through'), ('planned', 'Ready to go in'), ('applying', 'Going in'), ('done', 'Brought in'), ('stopped', 'Stopped')], default='read', max_length=10)),
                ('mapping', models.JSONField(blank=True, default=dict)),
                ('choices', models.JSONField(blank=True, default=dict)),
                ('seen', models.JSONField(blank=True, default=dict)),
                ('findings', models.JSONField(blank=True, default=dict)),
                ('counts', models.JSONField(blank=True, default=dict)),
                ('lines_done', models.PositiveIntegerField(default=0)),
                ('lines_total', models.PositiveIntegerField(default=0)),
                ('message', models.CharField(blank=True, max_length=400)),
                ('started_at', models.DateTimeField()),
                ('moved_at', models.DateTimeField()),
                ('ended_at', models.DateTimeField(blank=True, null=True)),
                ('by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='intakes', to=settings.AUTH_USER_MODEL)),
                ('document', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='intakes', to='register.document')),
                ('leftover', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.document')),
                ('site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='intakes', to='register.site')),
            ],
            options={
                'ordering': ['-started_at', '-pk'],
            },
        ),
        migrations.CreateModel(
            name='BroughtIn',
            fields=[
                ('item', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='brought_in', serialize=False, to='register.item')),
                ('sheet', models.CharField(max_length=100)),
                ('line', models.PositiveIntegerField()),
                ('old_mark', models.CharField(blank=True, max_length=60, verbose_name='mark in the workbook')),
                ('intake', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='brought_in', to='inspections.intake')),
            ],
            options={
                'ordering': ['sheet', 'line'],
            },
        ),
        migrations.CreateModel(
            name='Notice',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('issuer', models.CharField(max_length=120)),
                ('reference', models.CharField(max_length=60)),
                ('version', models.PositiveSmallIntegerField(default=1)),
                ('name_key', models.CharField(editable=False, max_length=190)),
                ('kind', models.CharField(choices=[('stop-use', 'Stop use'), ('inspect-first', 'Inspect before further use'), ('use-until', 'Use until a date'), ('information', 'Information')], max_length=16)),
                ('received_on', models.DateField(verbose_name='received')),
                ('text', models.TextField(verbose_name='what it says')),
                ('instructions', models.TextField(blank=True, verbose_name='special inspection: what to look at')),
                ('deadline_on', models.DateField(blank=True, null=True, verbose_name='last day of use')),
                ('products', models.JSONField(blank=True, default=list)),
                ('serials', models.JSONField(blank=True, default=list)),
                ('batches', models.JSONField(blank=True, default=list)),
                ('made_from_on', models.DateField(blank=True, null=True, verbose_name='made from')),
                ('made_through_on', models.DateField(blank=True, null=True, verbose_name='made through')),
                ('sold_from_on', models.DateField(blank=True, null=True, verbose_name='sold from')),
                ('sold_through_on', models.DateField(blank=True, null=True, verbose_name='sold through')),
                ('recorded_at', models.DateTimeField()),
                ('revised_because', models.CharField(blank=True, max_length=300, verbose_name='why it is revised')),
                ('withdrawn_at', models.DateTimeField(blank=True, null=True)),
                ('withdrawn_because', models.CharField(blank=True, max_length=300, verbose_name='why it is withdrawn')),
                ('document', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='notices', to='register.document')),
                ('recorded_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('revises', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='revised_by', to='inspections.notice')),
                ('withdrawn_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-received_on', '-pk'],
            },
        ),
        migrations.CreateModel(
            name='NoticeMatch',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('certainty', models.CharField(choices=[('certain', 'Certain'), ('possible', 'Possible'), ('none', 'Not meant')], max_length=8)),
                ('doubts', models.JSONField(blank=True, default=list)),
                ('matched_at', models.DateTimeField()),
                ('acknowledged_at', models.DateTimeField(blank=True, null=True)),
                ('acknowledged_how', models.CharField(blank=True, max_length=120, verbose_name='who said so, and how')),
                ('outcome', models.CharField(blank=True, choices=[('special-passed', 'Special inspection passed'), ('put-right', 'Put right by the maker and passed'), ('not-ours', 'Not one of those meant'), ('withdrawn', 'Withdrawn for good'), ('noted', 'Read and noted')], max_length=16)),
                ('closed_at', models.DateTimeField(blank=True, null=True)),
                ('closed_because', models.CharField(blank=True, max_length=300, verbose_name='why')),
                ('acknowledged_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('closed_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('inspection', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='inspections.inspection')),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='notice_matches', to='register.item')),
                ('notice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='matches', to='inspections.notice')),
            ],
            options={
                'verbose_name_plural': 'notice matches',
                'ordering': ['notice', 'certainty', 'item'],
            },
        ),
        migrations.CreateModel(
            name='Round',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('kind', models.CharField(choices=[('pre-use', 'Pre-use check'), ('acceptance', 'Acceptance'), ('interim', 'Interim inspection'), ('detailed', 'Periodic examination'), ('thorough-examination', 'Thorough examination'), ('after-event', 'After-event inspection'), ('special', 'Special inspection for a safety notice'), ('maker-service', "Maker's service"), ('installation', 'Installation and proof test'), ('kit-check', 'Kit contents and seal check'), ('sighting', 'Stock-take sighting')], max_length=24)),
                ('covers_periodic', models.BooleanField(default=False, verbose_name='the maker’s periodic examination procedure is followed')),
                ('chosen', models.CharField(blank=True, max_length=300)),
                ('began_at', models.DateTimeField()),
                ('signed_at', models.DateTimeField(blank=True, null=True)),
                ('note', models.CharField(blank=True, max_length=400)),
                ('dropped_at', models.DateTimeField(blank=True, null=True)),
                ('dropped_because', models.CharField(blank=True, max_length=200)),
                ('began_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('dropped_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('inspector', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rounds', to='register.person')),
                ('signed_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rounds', to='register.site')),
            ],
            options={
                'ordering': ['-began_at'],
            },
        ),
        migrations.CreateModel(
            name='RoundLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('text', models.CharField(blank=True, max_length=60, verbose_name='as scanned or typed')),
                ('listed', models.BooleanField(default=False, verbose_name='on the list at the start')),
                ('state', models.CharField(choices=[('expected', 'Not seen yet'), ('seen', 'Looked at'), ('out', 'Out of use'), ('not-presented', 'Not presented'), ('unknown', 'Not on the register'), ('elsewhere', 'Belongs to another site')], max_length=16)),
                ('look', models.UUIDField(blank=True, null=True, unique=True)),
                ('at', models.DateTimeField(blank=True, null=True)),
                ('stopped', models.CharField(blank=True, choices=[('pass', 'Pass'), ('pass-with-conditions', 'Pass with conditions'), ('refer', 'Refer to the maker or an engineer'), ('fail', 'Fail'), ('not-presented', 'Not presented'), ('not-identified', 'Not identified'), ('not-accessible', 'Not accessible')], max_length=24)),
                ('inspection', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='round_line', to='inspections.inspection')),
                ('item', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='round_lines', to='register.item')),
                ('round', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lines', to='inspections.round')),
            ],
            options={
                'ordering': ['round', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Visit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day_on', models.DateField(db_index=True, verbose_name='day')),
                ('accepted_at', models.DateTimeField()),
                ('dropped_at', models.DateTimeField(blank=True, null=True)),
                ('accepted_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('inspector', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='register.person')),
                ('items', models.ManyToManyField(related_name='visits', to='register.item')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='register.site')),
            ],
            options={
                'ordering': ['day_on', 'inspector'],
            },
        ),
        migrations.CreateModel(
            name='Arrest',
            fields=[
                ('event_ptr', models.OneToOneField(auto_created=True, on_delete=django.db.models.deletion.CASCADE, parent_link=True, primary_key=True, serialize=False, to='inspections.event')),
                ('wearer_alias', models.CharField(blank=True, max_length=60, verbose_name='who fell, under another name')),
                ('task', models.CharField(blank=True, max_length=120, verbose_name='what was being done')),
                ('free_fall_m', models.DecimalField(blank=True, decimal_places=1, max_digits=4, null=True, verbose_name='free fall, estimated (m)')),
                ('suspended_minutes', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='minutes in suspension')),
                ('rescue_method', models.CharField(blank=True, max_length=200, verbose_name='how they were brought to safety')),
                ('first_aid', models.CharField(blank=True, choices=[('yes', 'Yes'), ('no', 'No')], max_length=3, verbose_name='was first aid given?')),
                ('report_reference', models.CharField(blank=True, max_length=60, verbose_name='reference of a report to the authority')),
                ('evidence_place', models.CharField(blank=True, max_length=120, verbose_name='where the evidence is kept')),
                ('rescue_kit', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.kit')),
                ('rescuers', models.ManyToManyField(blank=True, related_name='+', to='register.person')),
                ('wearer', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.person')),
            ],
            options={
                'ordering': ['-happened_at'],
            },
            bases=('inspections.event',),
        ),
        migrations.AddConstraint(
            model_name='authorisation',
            constraint=models.CheckConstraint(condition=models.Q(('through_on__gte', models.F('from_on'))), name='authorisation_ends_after_it_begins', violation_error_message='The last day comes before the first.'),
        ),
        migrations.AddConstraint(
            model_name='eventitem',
            constraint=models.UniqueConstraint(fields=('event', 'item'), name='item_once_an_event'),
        ),
        migrations.AddIndex(
            model_name='inspection',
            index=models.Index(fields=['item', '-performed_on'], name='inspections_of_an_item'),
        ),
        migrations.AddConstraint(
            model_name='defect',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('grade', 'B'), _negated=True), ('danger_by_on__isnull', False), _connector='OR'), name='danger_by_has_a_date', violation_error_message='Say by which day this could become a danger.'),
        ),
        migrations.AddConstraint(
            model_name='notice',
            constraint=models.UniqueConstraint(fields=('name_key', 'version'), name='notice_once_an_issuer', violation_error_message="This issuer's notice is entered already."),
        ),
        migrations.AddConstraint(
            model_name='noticematch',
            constraint=models.UniqueConstraint(fields=('notice', 'item'), name='match_once_an_item'),
        ),
        migrations.AddIndex(
            model_name='round',
            index=models.Index(fields=['site', '-began_at'], name='rounds_of_a_site'),
        ),
        migrations.AddConstraint(
            model_name='round',
            constraint=models.CheckConstraint(condition=models.Q(('signed_at', None), ('dropped_at', None), _connector='OR'), name='round_signed_or_dropped'),
        ),
        migrations.AddConstraint(
            model_name='roundline',
            constraint=models.UniqueConstraint(condition=models.Q(('listed', True)), fields=('round', 'item'), name='item_once_on_the_list_of_a_round'),
        ),
        migrations.AddConstraint(
            model_name='roundline',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('item', None), _negated=True), models.Q(('text', ''), _negated=True), _connector='OR'), name='round_line_is_about_something'),
        ),
        migrations.AddConstraint(
            model_name='visit',
            constraint=models.UniqueConstraint(condition=models.Q(('dropped_at', None)), fields=('inspector', 'day_on'), name='one_site_a_day', violation_error_message='This inspector is on a visit that day already.'),
        ),
    ]
