import django.contrib.auth.models
import django.contrib.auth.validators
import django.db.models.deletion
import django.utils.timezone
import register.models.people
import register.models.places
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
    ]

    operations = [
        migrations.CreateModel(
            name='BackUp',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('at', models.DateTimeField()),
                ('name', models.CharField(max_length=200)),
                ('bytes', models.PositiveBigIntegerField()),
                ('sha256', models.CharField(max_length=64)),
                ('encrypted', models.BooleanField()),
            ],
            options={
                'ordering': ['-at'],
            },
        ),
        migrations.CreateModel(
            name='Checkpoint',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('at', models.DateTimeField()),
                ('chains', models.PositiveIntegerField()),
                ('root', models.CharField(max_length=64)),
            ],
            options={
                'ordering': ['-at'],
            },
        ),
        migrations.CreateModel(
            name='Document',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('sha256', models.CharField(max_length=64, unique=True)),
                ('kind', models.CharField(choices=[('declaration', 'Declaration of conformity'), ('instructions', 'Maker’s instructions'), ('report', 'Inspection report'), ('photo', 'Photograph'), ('workbook', 'Workbook'), ('evidence', 'Evidence')], max_length=12)),
                ('name', models.CharField(max_length=200)),
                ('size', models.PositiveBigIntegerField(verbose_name='size (bytes)')),
                ('file', models.FileField(upload_to='documents/%Y/%m')),
                ('kept_at', models.DateTimeField()),
            ],
            options={
                'ordering': ['-kept_at'],
            },
        ),
        migrations.CreateModel(
            name='Person',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=120)),
                ('employer', models.CharField(blank=True, max_length=120)),
                ('left_on', models.DateField(blank=True, null=True)),
                ('ledger_salt', models.CharField(default=register.models.people.new_salt, editable=False, max_length=32)),
            ],
            options={
                'verbose_name_plural': 'people',
                'ordering': ['name'],
            },
        ),
        migrations.CreateModel(
            name='Site',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=20, unique=True)),
                ('name', models.CharField(max_length=120)),
                ('address', models.CharField(blank=True, max_length=200)),
                ('time_zone', models.CharField(default='Europe/London', max_length=40, validators=[register.models.places.check_time_zone])),
                ('is_store', models.BooleanField(default=False, verbose_name='a store, with no work at height')),
                ('facts_version', models.PositiveBigIntegerField(default=0, editable=False)),
            ],
            options={
                'ordering': ['name'],
            },
        ),
        migrations.CreateModel(
            name='User',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
                ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
                ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                ('has_first_password', models.BooleanField(default=False, verbose_name='is to change the first password')),
                ('ledger_salt', models.CharField(default=register.models.people.new_salt, editable=False, max_length=32)),
                ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
                ('person', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='user', to='register.person')),
            ],
            options={
                'verbose_name': 'user',
                'verbose_name_plural': 'users',
                'abstract': False,
            },
            managers=[
                ('objects', django.contrib.auth.models.UserManager()),
            ],
        ),
        migrations.CreateModel(
            name='AccessToken',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=60, verbose_name='what it is for')),
                ('prefix', models.CharField(max_length=8, unique=True)),
                ('secret_hash', models.CharField(max_length=64)),
                ('needs', models.JSONField(default=list)),
                ('every_site', models.BooleanField(default=False, verbose_name='at every site of its owner')),
                ('made_at', models.DateTimeField()),
                ('through_on', models.DateField(verbose_name='last day')),
                ('last_used_at', models.DateTimeField(blank=True, null=True)),
                ('revoked_at', models.DateTimeField(blank=True, null=True)),
                ('owner', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tokens', to=settings.AUTH_USER_MODEL)),
                ('sites', models.ManyToManyField(blank=True, related_name='+', to='register.site')),
            ],
            options={
                'ordering': ['-made_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='KeptAnswer',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('key', models.CharField(max_length=255)),
                ('fingerprint', models.CharField(max_length=64)),
                ('claim', models.UUIDField()),
                ('begun_at', models.DateTimeField(db_index=True)),
                ('status', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('media_type', models.CharField(blank=True, max_length=60)),
                ('body', models.TextField(blank=True)),
                ('token', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='kept_answers', to='register.accesstoken')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('token', 'key'), name='key_once_a_token')],
            },
        ),
        migrations.CreateModel(
            name='Act',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('verb', models.CharField(max_length=40)),
                ('at', models.DateTimeField(db_index=True)),
                ('claimed_at', models.DateTimeField(null=True)),
                ('device', models.CharField(blank=True, max_length=80)),
                ('by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='acts', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-at'],
            },
        ),
        migrations.CreateModel(
            name='ActNote',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('field', models.CharField(max_length=40)),
                ('salt', models.CharField(max_length=32)),
                ('text', models.TextField()),
                ('act', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='notes', to='register.act')),
            ],
        ),
        migrations.CreateModel(
            name='Errand',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=40)),
                ('given', models.JSONField(blank=True, default=dict)),
                ('given_sha256', models.CharField(editable=False, max_length=64)),
                ('language', models.CharField(max_length=10)),
                ('asked_at', models.DateTimeField()),
                ('state', models.CharField(choices=[('asked', 'Waiting to begin'), ('running', 'Under way'), ('done', 'Done'), ('stopped', 'Stopped'), ('failed', 'Failed')], default='asked', max_length=10)),
                ('attempt', models.PositiveSmallIntegerField(default=1)),
                ('moved_at', models.DateTimeField()),
                ('ended_at', models.DateTimeField(blank=True, null=True)),
                ('done', models.PositiveIntegerField(default=0)),
                ('total', models.PositiveIntegerField(default=0)),
                ('sentence', models.CharField(blank=True, max_length=400)),
                ('file', models.FileField(blank=True, upload_to='errands/%Y/%m')),
                ('name', models.CharField(blank=True, max_length=200)),
                ('content_type', models.CharField(blank=True, max_length=100)),
                ('size', models.PositiveBigIntegerField(default=0, verbose_name='size (bytes)')),
                ('sha256', models.CharField(blank=True, max_length=64)),
                ('expires_at', models.DateTimeField(blank=True, null=True)),
                ('asked_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='errands', to=settings.AUTH_USER_MODEL)),
                ('sites', models.ManyToManyField(blank=True, related_name='errands', to='register.site')),
            ],
            options={
                'ordering': ['-asked_at', '-pk'],
                'constraints': [models.UniqueConstraint(condition=models.Q(('state__in', ['asked', 'running'])), fields=('asked_by', 'kind', 'given_sha256'), name='errand_open_once')],
            },
        ),
        migrations.CreateModel(
            name='Delivery',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('supplier', models.CharField(blank=True, max_length=120)),
                ('order_number', models.CharField(blank=True, max_length=60)),
                ('delivery_note', models.CharField(max_length=60)),
                ('received_on', models.DateField()),
                ('declaration_on', models.DateField(blank=True, null=True, verbose_name='date of the declaration')),
                ('declaration', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='declares', to='register.document')),
            ],
            options={
                'verbose_name_plural': 'deliveries',
                'ordering': ['-received_on', '-pk'],
            },
        ),
        migrations.CreateModel(
            name='CalendarFeed',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('about', models.CharField(choices=[('own', 'What concerns me'), ('site', 'One site'), ('class', 'One class of equipment')], max_length=5)),
                ('equipment_class', models.CharField(blank=True, choices=[('harness', 'Harness'), ('rescue-harness', 'Rescue harness'), ('rescue-loop', 'Rescue loop'), ('positioning-lanyard', 'Work positioning belt or lanyard'), ('lanyard', 'Lanyard without absorber'), ('energy-absorbing-lanyard', 'Energy-absorbing lanyard'), ('sling', 'Anchor sling'), ('connector', 'Connector'), ('retractable', 'Retractable fall arrester'), ('guided-arrester', 'Guided fall arrester'), ('rope', 'Low-stretch rope'), ('anchor', 'Anchor device'), ('horizontal-lifeline', 'Horizontal lifeline'), ('tripod', 'Tripod or davit'), ('rope-adjuster', 'Rope-access descender, ascender or back-up'), ('descender', 'Descender device for rescue'), ('lifting-device', 'Rescue lifting device'), ('pulley', 'Pulley'), ('stretcher', 'Stretcher'), ('tool', 'Cut-away tool, edge protector or pole'), ('helmet', 'Helmet'), ('rescue-kit', 'Rescue kit')], max_length=30, verbose_name='class')),
                ('language', models.CharField(max_length=10)),
                ('secret_hash', models.CharField(max_length=64, unique=True)),
                ('made_at', models.DateTimeField()),
                ('revoked_at', models.DateTimeField(blank=True, null=True)),
                ('read_at', models.DateTimeField(blank=True, null=True, verbose_name='last read')),
                ('site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='calendar_feeds', to='register.site')),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='calendar_feeds', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['made_at', 'pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('about', 'own'), ('equipment_class', ''), ('site', None)), models.Q(('about', 'site'), ('equipment_class', ''), ('site__isnull', False)), models.Q(('about', 'class'), ('equipment_class__gt', ''), ('site', None)), _connector='OR'), name='feed_is_about_one_thing')],
            },
        ),
        migrations.CreateModel(
            name='CalendarTold',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('key', models.CharField(max_length=120)),
                ('topic', models.CharField(max_length=30)),
                ('first_on', models.DateField()),
                ('last_on', models.DateField()),
                ('summary', models.CharField(max_length=300)),
                ('detail', models.TextField(blank=True)),
                ('place', models.CharField(blank=True, max_length=330)),
                ('link', models.CharField(blank=True, max_length=300)),
                ('sequence', models.PositiveIntegerField(default=0)),
                ('changed_at', models.DateTimeField()),
                ('gone_on', models.DateField(blank=True, null=True)),
                ('feed', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='told', to='register.calendarfeed')),
            ],
            options={
                'verbose_name_plural': 'events told',
                'ordering': ['first_on', 'key'],
                'constraints': [models.UniqueConstraint(fields=('feed', 'key'), name='event_told_once_a_feed')],
            },
        ),
        migrations.CreateModel(
            name='MessageTerms',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('morning_hour', models.PositiveSmallIntegerField(default=6, validators=[django.core.validators.MaxValueValidator(12)], verbose_name='hour of the morning')),
                ('sender_looked_at', models.DateTimeField(blank=True, editable=False, null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Postbox',
            fields=[
                ('user', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='postbox', serialize=False, to=settings.AUTH_USER_MODEL)),
                ('address', models.EmailField(blank=True, max_length=254, verbose_name='e-mail address')),
                ('language', models.CharField(blank=True, max_length=10, verbose_name='language')),
                ('asked_at', models.DateTimeField(blank=True, null=True)),
                ('confirmed_at', models.DateTimeField(blank=True, null=True)),
                ('left', models.JSONField(blank=True, default=list, verbose_name='kinds left')),
                ('last_morning_on', models.DateField(blank=True, null=True)),
                ('last_week_on', models.DateField(blank=True, null=True)),
            ],
            options={
                'verbose_name_plural': 'postboxes',
                'ordering': ['user'],
            },
        ),
        migrations.CreateModel(
            name='Message',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('kind', models.CharField(max_length=12)),
                ('key', models.CharField(max_length=120)),
                ('subject', models.CharField(max_length=200)),
                ('text', models.TextField()),
                ('made_at', models.DateTimeField(db_index=True)),
                ('by_mail', models.BooleanField(default=False)),
                ('next_try_at', models.DateTimeField()),
                ('tries', models.PositiveSmallIntegerField(default=0)),
                ('sent_at', models.DateTimeField(blank=True, null=True)),
                ('given_up_at', models.DateTimeField(blank=True, null=True)),
                ('last_error', models.CharField(blank=True, max_length=200)),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='told', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-made_at', 'pk'],
                'indexes': [models.Index(condition=models.Q(('by_mail', True), ('given_up_at', None), ('sent_at', None)), fields=['next_try_at'], name='messages_waiting')],
                'constraints': [models.UniqueConstraint(fields=('user', 'kind', 'key'), name='fact_told_once')],
            },
        ),
        migrations.CreateModel(
            name='Head',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('thing_kind', models.CharField(max_length=40)),
                ('thing_id', models.CharField(max_length=40)),
                ('seq', models.PositiveIntegerField(default=0)),
                ('hash', models.CharField(default='0000000000000000000000000000000000000000000000000000000000000000', max_length=64)),
            ],
            options={
                'ordering': ['thing_kind', 'thing_id'],
                'constraints': [models.UniqueConstraint(fields=('thing_kind', 'thing_id'), name='head_once_a_thing')],
            },
        ),
        migrations.CreateModel(
            name='Item',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(max_length=8, unique=True, verbose_name='tag')),
                ('serial', models.CharField(max_length=60, verbose_name='serial, as marked')),
                ('serial_key', models.CharField(db_index=True, editable=False, max_length=60)),
                ('batch', models.CharField(blank=True, max_length=60)),
                ('size', models.CharField(blank=True, max_length=20)),
                ('made_first_on', models.DateField(blank=True, null=True, verbose_name='made, earliest day')),
                ('made_last_on', models.DateField(blank=True, null=True, verbose_name='made, latest day')),
                ('made_precision', models.CharField(choices=[('day', 'To the day'), ('week', 'To the week'), ('month', 'To the month'), ('year', 'To the year'), ('unknown', 'Not known')], default='unknown', max_length=8)),
                ('purchased_on', models.DateField(blank=True, null=True)),
                ('first_used_on', models.DateField(blank=True, null=True)),
                ('accepted_on', models.DateField(blank=True, null=True)),
                ('owner', models.CharField(blank=True, max_length=120, verbose_name='owner, if not us')),
                ('hire_end_on', models.DateField(blank=True, null=True, verbose_name='hire ends on')),
                ('use_class', models.CharField(choices=[('light', 'Light use'), ('normal', 'Normal use'), ('arduous', 'Arduous use'), ('rescue', 'Rescue only, kept sealed'), ('training', 'Training')], default='normal', max_length=12, verbose_name='conditions of use')),
                ('use_class_set_at', models.DateTimeField(blank=True, null=True)),
                ('fixed_on', models.DateField(blank=True, null=True, verbose_name='put up where it is on')),
                ('proof_test_months', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='months between proof tests')),
                ('remarks', models.CharField(blank=True, max_length=200)),
                ('condition', models.CharField(choices=[('received', 'Received, not yet accepted'), ('in-service', 'In service'), ('quarantined', 'Quarantined'), ('away', 'Away for service'), ('withdrawn', 'Withdrawn for good'), ('destroyed', 'Destroyed'), ('not-located', 'Not located'), ('left', 'Left the undertaking')], max_length=12)),
                ('quarantine_reason', models.CharField(blank=True, choices=[('arrested-a-fall', 'Arrested a fall'), ('suspected-load', 'May have taken a load'), ('damage-found', 'Damage found'), ('pre-use-check-failed', 'Pre-use check failed'), ('failed-inspection', 'Failed an inspection, decision pending'), ('referred', 'Referred to the maker or an engineer'), ('identity-in-doubt', 'Identity in doubt'), ('label-unreadable', 'Label unreadable'), ('safety-notice', 'Safety notice'), ('seal-broken', 'Seal broken'), ('contents-wrong', 'Contents wrong'), ('found-after-loss', 'Found after being lost'), ('contaminated', 'Contaminated'), ('dropped', 'Dropped or thrown'), ('flooded', 'Flooded or soaked'), ('heat', 'Heat, flame or sparks'), ('lightning', 'Lightning or current'), ('long-storage', 'Stored for long'), ('load-tested', 'Loaded in a test'), ('used-in-rescue', 'Used in a rescue, to be checked'), ('used-in-drill', 'Used in a drill, to be checked'), ('out-of-date', 'Out of date and taken out of use'), ('returned-unsure', 'Returned, history not known'), ('age-not-established', 'Age not established'), ('back-from-service', 'Back from service, not yet accepted'), ('withdrawn-in-error', 'Withdrawn in error, to be inspected')], max_length=24)),
                ('quarantined_also_for', models.JSONField(blank=True, default=list, verbose_name='further reasons')),
                ('quarantined_at', models.DateTimeField(blank=True, null=True, verbose_name='quarantined, last')),
                ('out_since_at', models.DateTimeField(blank=True, null=True, verbose_name='out of service since')),
                ('custody', models.CharField(choices=[('stores', 'In stores'), ('person', 'On issue to a person'), ('site', 'On site with a custodian'), ('kit', 'In a kit'), ('installed', 'Installed'), ('in-transit', 'In transit'), ('inspector', 'With an inspector'), ('maker', 'With the maker or an agent'), ('cage', 'In the quarantine cage'), ('not-located', 'Not located'), ('owner', 'Returned to its owner'), ('destroyed', 'Destroyed')], default='stores', max_length=12)),
                ('place', models.CharField(blank=True, max_length=120, verbose_name='exact place')),
                ('due_back_on', models.DateField(blank=True, null=True)),
                ('delivery', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='items', to='register.delivery')),
                ('quarantined_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['code'],
            },
        ),
        migrations.AddField(
            model_name='document',
            name='items',
            field=models.ManyToManyField(blank=True, related_name='documents', to='register.item'),
        ),
        migrations.CreateModel(
            name='Kit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=20, unique=True, verbose_name='kit')),
                ('contents_version', models.PositiveSmallIntegerField(default=1)),
                ('seal_number', models.CharField(blank=True, max_length=30)),
                ('seal_intact', models.BooleanField(default=False)),
                ('sealed_on', models.DateField(blank=True, null=True)),
                ('item', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='as_kit', to='register.item')),
            ],
            options={
                'ordering': ['name'],
            },
        ),
        migrations.AddField(
            model_name='item',
            name='kit',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='contents', to='register.kit'),
        ),
        migrations.AddField(
            model_name='item',
            name='holder',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='held_items', to='register.person'),
        ),
        migrations.CreateModel(
            name='Product',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('maker', models.CharField(max_length=80)),
                ('designation', models.CharField(max_length=80, verbose_name='model')),
                ('equipment_class', models.CharField(choices=[('harness', 'Harness'), ('rescue-harness', 'Rescue harness'), ('rescue-loop', 'Rescue loop'), ('positioning-lanyard', 'Work positioning belt or lanyard'), ('lanyard', 'Lanyard without absorber'), ('energy-absorbing-lanyard', 'Energy-absorbing lanyard'), ('sling', 'Anchor sling'), ('connector', 'Connector'), ('retractable', 'Retractable fall arrester'), ('guided-arrester', 'Guided fall arrester'), ('rope', 'Low-stretch rope'), ('anchor', 'Anchor device'), ('horizontal-lifeline', 'Horizontal lifeline'), ('tripod', 'Tripod or davit'), ('rope-adjuster', 'Rope-access descender, ascender or back-up'), ('descender', 'Descender device for rescue'), ('lifting-device', 'Rescue lifting device'), ('pulley', 'Pulley'), ('stretcher', 'Stretcher'), ('tool', 'Cut-away tool, edge protector or pole'), ('helmet', 'Helmet'), ('rescue-kit', 'Rescue kit')], max_length=30, verbose_name='class')),
                ('standards', models.CharField(blank=True, max_length=120)),
                ('max_user_kg', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='rated to (kg)')),
                ('min_user_kg', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='rated from (kg)')),
                ('length_m', models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True, verbose_name='length (m)')),
                ('edge_tested', models.BooleanField(default=False, verbose_name='tested over an edge')),
                ('periodic_months', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='maker: months between examinations')),
                ('service_months', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='maker: months between services')),
                ('life_from_made_months', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='maker: life from manufacture (months)')),
                ('life_from_first_use_months', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='maker: life from first use (months)')),
                ('storage_months', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='maker: storage before first use (months)')),
                ('reject_after_arrest', models.BooleanField(default=True, verbose_name='finished once it has arrested a fall')),
            ],
            options={
                'ordering': ['maker', 'designation'],
                'constraints': [models.UniqueConstraint(fields=('maker', 'designation'), name='product_once')],
            },
        ),
        migrations.AddField(
            model_name='item',
            name='product',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='items', to='register.product'),
        ),
        migrations.AddField(
            model_name='delivery',
            name='product',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='register.product'),
        ),
        migrations.CreateModel(
            name='SealEvent',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('closed', 'Closed'), ('opened', 'Opened'), ('broken', 'Found broken'), ('missing', 'Found missing'), ('seen', 'Seen intact')], max_length=8)),
                ('number', models.CharField(blank=True, max_length=30)),
                ('at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=120)),
                ('by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('kit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='seal_events', to='register.kit')),
            ],
            options={
                'ordering': ['-at'],
            },
        ),
        migrations.AddField(
            model_name='person',
            name='home_site',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='people', to='register.site'),
        ),
        migrations.CreateModel(
            name='Movement',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('received', 'Received'), ('issued', 'Issued'), ('returned', 'Returned'), ('dispatched', 'Sent to another site'), ('arrived', 'Arrived'), ('sent', 'Sent to the maker or an agent'), ('back', 'Back from the maker or an agent'), ('into-kit', 'Put into a kit'), ('out-of-kit', 'Taken out of a kit'), ('installed', 'Installed'), ('left', 'Left the undertaking')], max_length=12)),
                ('at', models.DateTimeField()),
                ('due_back_on', models.DateField(blank=True, null=True)),
                ('loaded', models.CharField(blank=True, choices=[('no', 'No'), ('yes', 'Yes'), ('unsure', 'Don’t know')], max_length=6, verbose_name='held a fall?')),
                ('wrong', models.CharField(blank=True, choices=[('no', 'No'), ('yes', 'Yes'), ('unsure', 'Don’t know')], max_length=6, verbose_name='anything wrong?')),
                ('reference', models.CharField(blank=True, max_length=120)),
                ('by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='register.item')),
                ('person', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='register.person')),
                ('from_site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.site')),
                ('to_site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='register.site')),
            ],
            options={
                'ordering': ['-at', '-pk'],
            },
        ),
        migrations.AddField(
            model_name='item',
            name='bound_for',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='items_coming', to='register.site'),
        ),
        migrations.AddField(
            model_name='item',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='items', to='register.site'),
        ),
        migrations.CreateModel(
            name='Hold',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('because', models.CharField(max_length=120)),
                ('placed_at', models.DateTimeField()),
                ('asked_at', models.DateTimeField(blank=True, null=True, verbose_name='release asked for')),
                ('asked_because', models.CharField(blank=True, max_length=400, verbose_name='why it may go')),
                ('released_at', models.DateTimeField(blank=True, null=True)),
                ('asked_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('placed_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('released_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('items', models.ManyToManyField(related_name='holds', to='register.item')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='holds', to='register.site')),
            ],
            options={
                'ordering': ['-placed_at'],
            },
        ),
        migrations.AddField(
            model_name='delivery',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='register.site'),
        ),
        migrations.CreateModel(
            name='Tag',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(max_length=8, unique=True)),
                ('secret', models.CharField(max_length=16)),
                ('issue', models.PositiveSmallIntegerField(default=1)),
                ('issued_at', models.DateTimeField()),
                ('replaced_at', models.DateTimeField(blank=True, null=True)),
                ('replaced_because', models.CharField(blank=True, max_length=120)),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tags', to='register.item')),
            ],
            options={
                'ordering': ['-issue'],
            },
        ),
        migrations.CreateModel(
            name='Employer',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=120, verbose_name='name of the employer')),
                ('address', models.CharField(blank=True, max_length=200)),
                ('paper_size', models.CharField(choices=[('a4', 'A4'), ('letter', 'US Letter')], default='a4', max_length=8)),
            ],
        ),
        migrations.CreateModel(
            name='Paper',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reference', models.CharField(max_length=7, unique=True)),
                ('secret', models.CharField(max_length=16)),
                ('kind', models.CharField(max_length=24)),
                ('about', models.CharField(max_length=300, verbose_name='about')),
                ('language', models.CharField(max_length=8)),
                ('size', models.CharField(choices=[('a4', 'A4'), ('letter', 'US Letter')], max_length=8)),
                ('as_at', models.DateTimeField(verbose_name='as at')),
                ('made_at', models.DateTimeField()),
                ('good_until_at', models.DateTimeField(blank=True, null=True)),
                ('facts', models.JSONField(default=dict)),
                ('facts_hash', models.CharField(max_length=64)),
                ('file_hash', models.CharField(db_index=True, max_length=64, verbose_name='SHA-256 of the file')),
                ('sealed_by', models.CharField(max_length=64, verbose_name='SHA-256 of the certificate')),
                ('made_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='papers', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='papers', to='register.site')),
            ],
            options={
                'ordering': ['-made_at'],
                'indexes': [models.Index(fields=['site', '-made_at'], name='papers_of_a_site')],
            },
        ),
        migrations.CreateModel(
            name='PaperSubject',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('thing_kind', models.CharField(max_length=40)),
                ('thing_id', models.CharField(max_length=40)),
                ('paper', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='subjects', to='register.paper')),
            ],
            options={
                'ordering': ['pk'],
                'indexes': [models.Index(fields=['thing_kind', 'thing_id'], name='papers_on_a_thing')],
            },
        ),
        migrations.CreateModel(
            name='Zone',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=20)),
                ('name', models.CharField(max_length=120)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='zones', to='register.site')),
            ],
            options={
                'ordering': ['site', 'code'],
            },
        ),
        migrations.CreateModel(
            name='Passage',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('minutes', models.PositiveSmallIntegerField()),
                ('end', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='ways_in', to='register.zone')),
                ('start', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='ways_out', to='register.zone')),
            ],
            options={
                'ordering': ['start', 'end'],
            },
        ),
        migrations.AddField(
            model_name='item',
            name='zone',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='items', to='register.zone'),
        ),
        migrations.CreateModel(
            name='Entry',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('thing_kind', models.CharField(max_length=40)),
                ('thing_id', models.CharField(max_length=40)),
                ('seq', models.PositiveIntegerField()),
                ('before', models.CharField(max_length=64)),
                ('hash', models.CharField(max_length=64)),
                ('body', models.TextField()),
                ('act', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='register.act')),
            ],
            options={
                'verbose_name_plural': 'entries',
                'ordering': ['thing_kind', 'thing_id', 'seq'],
                'constraints': [models.UniqueConstraint(fields=('thing_kind', 'thing_id', 'seq'), name='entry_once_in_its_chain')],
            },
        ),
        migrations.CreateModel(
            name='KitPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('role', models.CharField(max_length=60, verbose_name='part')),
                ('required', models.BooleanField(default=True)),
                ('position', models.PositiveSmallIntegerField(default=0)),
                ('item', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='part_of', to='register.item')),
                ('kit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='parts', to='register.kit')),
            ],
            options={
                'ordering': ['kit', 'position', 'pk'],
                'constraints': [models.UniqueConstraint(fields=('kit', 'role'), name='part_once_a_kit')],
            },
        ),
        migrations.CreateModel(
            name='Reversal',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('because', models.CharField(max_length=400, verbose_name='why the withdrawal was an error')),
                ('asked_at', models.DateTimeField()),
                ('agreed_at', models.DateTimeField(blank=True, null=True)),
                ('agreed_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('asked_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='reversals', to='register.item')),
            ],
            options={
                'ordering': ['-asked_at'],
                'constraints': [models.UniqueConstraint(condition=models.Q(('agreed_at', None)), fields=('item',), name='one_open_reversal_an_item', violation_error_message='It is asked for already.')],
            },
        ),
        migrations.CreateModel(
            name='Shift',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=40)),
                ('begins', models.TimeField()),
                ('ends', models.TimeField()),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='shifts', to='register.site')),
            ],
            options={
                'ordering': ['site', 'begins'],
                'constraints': [models.UniqueConstraint(fields=('site', 'name'), name='shift_once_a_site')],
            },
        ),
        migrations.CreateModel(
            name='Grant',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('role', models.CharField(choices=[('worker', 'Worker'), ('stores-controller', 'Stores controller'), ('competent-person', 'Competent person'), ('supervisor', 'Supervisor'), ('planner', 'Rescue planner'), ('approver', 'Plan approver'), ('manager', 'Manager'), ('auditor', 'Auditor'), ('administrator', 'Administrator')], max_length=20)),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='grants', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, to='register.site')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('user', 'role', 'site'), name='grant_once_a_site'), models.UniqueConstraint(condition=models.Q(('site', None)), fields=('user', 'role'), name='grant_once_for_all_sites')],
            },
        ),
        migrations.AddConstraint(
            model_name='zone',
            constraint=models.UniqueConstraint(fields=('site', 'code'), name='zone_once_a_site'),
        ),
        migrations.AddConstraint(
            model_name='passage',
            constraint=models.UniqueConstraint(fields=('start', 'end'), name='passage_once'),
        ),
        migrations.AddConstraint(
            model_name='passage',
            constraint=models.CheckConstraint(condition=models.Q(('start', models.F('end')), _negated=True), name='passage_between_two_zones', violation_error_message='A passage joins two different zones.'),
        ),
        migrations.AddIndex(
            model_name='item',
            index=models.Index(fields=['site', 'condition'], name='items_of_a_site'),
        ),
        migrations.AddIndex(
            model_name='item',
            index=models.Index(fields=['holder'], name='items_of_a_holder'),
        ),
        migrations.AddConstraint(
            model_name='item',
            constraint=models.UniqueConstraint(fields=('product', 'serial_key'), name='serial_once_a_product', violation_error_message='This product is registered with this serial already.'),
        ),
    ]
