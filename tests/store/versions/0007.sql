PRAGMA application_id = 1398031681;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0007');
CREATE TABLE answer (
	answer_id TEXT NOT NULL, 
	group_id TEXT NOT NULL, 
	step TEXT NOT NULL, 
	question TEXT NOT NULL, 
	text TEXT NOT NULL, 
	for_all BOOLEAN NOT NULL, 
	answered_at DATETIME NOT NULL, 
	CONSTRAINT pk_answer PRIMARY KEY (answer_id)
);
INSERT INTO "answer" VALUES('a1','g1','bed-made','Bunk beds?','The lower one.',1,'2027-01-04 07:30:00.000000');
CREATE TABLE answered (
	household_id TEXT NOT NULL, 
	request_id TEXT NOT NULL, 
	asked TEXT NOT NULL, 
	status BIGINT NOT NULL, 
	body TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_answered PRIMARY KEY (household_id, request_id)
);
CREATE TABLE ceremony (
	secret TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	ends_at DATETIME NOT NULL, 
	CONSTRAINT pk_ceremony PRIMARY KEY (secret)
);
INSERT INTO "ceremony" VALUES('7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f7f','add','p1','2027-01-04 07:30:00.000000');
CREATE TABLE coach (
	person_id TEXT NOT NULL, 
	since DATETIME NOT NULL, 
	CONSTRAINT pk_coach PRIMARY KEY (person_id)
);
INSERT INTO "coach" VALUES('p1','2027-01-04 07:30:00.000000');
CREATE TABLE coached_group (
	group_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	course TEXT NOT NULL, 
	first_day DATE NOT NULL, 
	language TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_coached_group PRIMARY KEY (group_id)
);
INSERT INTO "coached_group" VALUES('g1','p1','Winter','three-weeks','2027-01-04','en-GB','2027-01-04 07:30:00.000000');
CREATE TABLE code (
	secret TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	made_by TEXT NOT NULL, 
	uses BIGINT NOT NULL, 
	wrong BIGINT NOT NULL, 
	made_at DATETIME NOT NULL, 
	ends_at DATETIME NOT NULL, group_id TEXT DEFAULT '' NOT NULL, name TEXT DEFAULT '' NOT NULL, begins TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_code PRIMARY KEY (secret)
);
CREATE TABLE course_version (
	household_id TEXT NOT NULL, 
	since DATE NOT NULL, 
	digest TEXT NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_course_version PRIMARY KEY (household_id, since), 
	CONSTRAINT fk_course_version_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "course_version" VALUES('home','2027-01-04','d1','{"title": "Three weeks"}');
CREATE TABLE enrolment (
	household_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	group_id TEXT NOT NULL, 
	joined_at DATETIME NOT NULL, 
	level TEXT NOT NULL, 
	level_at DATETIME NOT NULL, 
	level_until DATE, 
	CONSTRAINT pk_enrolment PRIMARY KEY (household_id)
);
INSERT INTO "enrolment" VALUES('home','Tern Street','g1','2027-01-04 07:30:00.000000','counted','2027-01-04 07:30:00.000000','2027-07-04');
CREATE TABLE feed (
	secret TEXT NOT NULL, 
	feed_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	holds TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	seen_at DATETIME, 
	CONSTRAINT pk_feed PRIMARY KEY (secret), 
	CONSTRAINT uq_feed_feed_id UNIQUE (feed_id)
);
INSERT INTO "feed" VALUES('5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d','f1','home','p1','Ana''s calendar','jobs,dues','2027-01-04 07:30:00.000000',NULL);
CREATE TABLE followed (
	household_id TEXT NOT NULL, 
	through DATE NOT NULL, 
	started_on DATE NOT NULL, 
	phase TEXT NOT NULL, 
	last_mark DATE, 
	due_since BIGINT NOT NULL, 
	weeks TEXT NOT NULL, 
	CONSTRAINT pk_followed PRIMARY KEY (household_id)
);
INSERT INTO "followed" VALUES('home','2027-01-11','2027-01-04','ramping','2027-01-11',0,'ramping');
CREATE TABLE held_version (
	group_id TEXT NOT NULL, 
	since DATE NOT NULL, 
	digest TEXT NOT NULL, 
	CONSTRAINT pk_held_version PRIMARY KEY (group_id, since)
);
INSERT INTO "held_version" VALUES('g1','2027-01-04','d1');
CREATE TABLE household (
	household_id TEXT NOT NULL, 
	course TEXT NOT NULL, 
	zone TEXT NOT NULL, 
	day_starts TIME NOT NULL, 
	week_starts TEXT DEFAULT 'monday' NOT NULL, 
	version BIGINT NOT NULL, 
	created_at DATETIME NOT NULL, 
	CONSTRAINT pk_household PRIMARY KEY (household_id)
);
INSERT INTO "household" VALUES('home','three-weeks','Europe/Lisbon','03:00:00.000000','monday',1795601981260202,'2026-11-25 09:53:32.455006');
CREATE TABLE kept_course (
	person_id TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	course TEXT NOT NULL, 
	title TEXT NOT NULL, 
	content TEXT NOT NULL, 
	packed BLOB NOT NULL, 
	added_at DATETIME NOT NULL, 
	CONSTRAINT pk_kept_course PRIMARY KEY (person_id, digest)
);
INSERT INTO "kept_course" VALUES('p1','d1','mine','My course','{}',X'504B','2027-01-04 07:30:00.000000');
CREATE TABLE log (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	date DATE NOT NULL, 
	what TEXT NOT NULL, 
	step TEXT NOT NULL, 
	value TEXT NOT NULL, 
	logged_at DATETIME NOT NULL, 
	request_id TEXT, "by" TEXT DEFAULT '' NOT NULL, version BIGINT, tapped_at DATETIME, 
	CONSTRAINT pk_log PRIMARY KEY (household_id, seq), 
	CONSTRAINT uq_log_household_id_request_id UNIQUE (household_id, request_id), 
	CONSTRAINT fk_log_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "log" VALUES('home',1,'2027-01-04','start','bed-made','standard','2027-01-04 07:30:00.000000',NULL,'',NULL,NULL);
INSERT INTO "log" VALUES('home',2,'2027-01-04','kept','bed-made','','2027-01-04 07:30:00.000000','first-request','',NULL,NULL);
CREATE TABLE member (
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	role TEXT NOT NULL, 
	since DATETIME NOT NULL, 
	CONSTRAINT pk_member PRIMARY KEY (household_id, person_id)
);
INSERT INTO "member" VALUES('home','p1','keeper','2027-01-04 07:30:00.000000');
CREATE TABLE message (
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	claimed_at DATETIME NOT NULL, 
	outcome TEXT NOT NULL, 
	CONSTRAINT pk_message PRIMARY KEY (household_id, person_id, name)
);
INSERT INTO "message" VALUES('home','p1','2027-01-04','2027-01-04 07:30:00.000000','sent');
CREATE TABLE note (
	group_id TEXT NOT NULL, 
	day DATE NOT NULL, 
	text TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_note PRIMARY KEY (group_id, day)
);
INSERT INTO "note" VALUES('g1','2027-01-04','Welcome','2027-01-04 07:30:00.000000');
CREATE TABLE passkey (
	credential TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	public_key TEXT NOT NULL, 
	counter BIGINT NOT NULL, 
	name TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	seen_at DATETIME NOT NULL, 
	CONSTRAINT pk_passkey PRIMARY KEY (credential)
);
INSERT INTO "passkey" VALUES('cred','p1','key',0,'blue phone','2027-01-04 07:30:00.000000','2027-01-04 07:30:00.000000');
CREATE TABLE person (
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_person PRIMARY KEY (person_id)
);
INSERT INTO "person" VALUES('p1','Ana','2027-01-04 07:30:00.000000');
CREATE TABLE place (
	household_id TEXT NOT NULL, 
	place TEXT NOT NULL, 
	moving_to TEXT DEFAULT '' NOT NULL, 
	since DATETIME NOT NULL, 
	CONSTRAINT pk_place PRIMARY KEY (household_id)
);
INSERT INTO "place" VALUES('home','second','','2027-01-04 07:30:00.000000');
CREATE TABLE plan_log (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	date DATE NOT NULL, 
	what TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	value TEXT NOT NULL, 
	logged_at DATETIME NOT NULL, 
	request_id TEXT, "by" TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_plan_log PRIMARY KEY (household_id, seq), 
	CONSTRAINT uq_plan_log_household_id_request_id UNIQUE (household_id, request_id), 
	CONSTRAINT fk_plan_log_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_log" VALUES('home',1,'2027-01-04','dinner','2027-01-04','"soup"','2027-01-04 07:30:00.000000','first-plan','');
INSERT INTO "plan_log" VALUES('home',2,'2027-01-04','todo','a','"Fix the tap"','2027-01-04 07:30:00.000000',NULL,'');
INSERT INTO "plan_log" VALUES('home',3,'2027-01-05','dinner','2027-01-05','"rice"','2027-01-04 07:30:00.000000',NULL,'');
INSERT INTO "plan_log" VALUES('home',4,'2027-01-04','dinner','2027-01-04','"stew"','2027-01-04 07:30:00.000000',NULL,'');
INSERT INTO "plan_log" VALUES('home',5,'2027-01-05','dinner','2027-01-05','','2027-01-04 07:30:00.000000',NULL,'');
CREATE TABLE plan_state (
	household_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	through DATE NOT NULL, 
	digest TEXT NOT NULL, 
	state TEXT NOT NULL, 
	CONSTRAINT pk_plan_state PRIMARY KEY (household_id, name, through), 
	CONSTRAINT fk_plan_state_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_state" VALUES('home','rotation','2027-01-04','d1','{"turn": 2}');
CREATE TABLE plan_value (
	household_id TEXT NOT NULL, 
	what TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	value TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	CONSTRAINT pk_plan_value PRIMARY KEY (household_id, what, "key"), 
	CONSTRAINT fk_plan_value_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_value" VALUES('home','todo','a','"Fix the tap"',2);
INSERT INTO "plan_value" VALUES('home','dinner','2027-01-04','"stew"',4);
CREATE TABLE published (
	group_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	as_of DATE NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_published PRIMARY KEY (group_id, name, as_of)
);
INSERT INTO "published" VALUES('g1','stops','2027-01-10','[]');
CREATE TABLE question (
	question_id TEXT NOT NULL, 
	group_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	step TEXT NOT NULL, 
	lesson BIGINT NOT NULL, 
	text TEXT NOT NULL, 
	with_name BOOLEAN NOT NULL, 
	asked_at DATETIME NOT NULL, 
	together TEXT NOT NULL, 
	apart BOOLEAN NOT NULL, 
	answer_id TEXT NOT NULL, 
	CONSTRAINT pk_question PRIMARY KEY (question_id)
);
INSERT INTO "question" VALUES('q1','g1','home','p1','bed-made',1,'And with a bunk bed?',0,'2027-01-04 07:30:00.000000','',0,'a1');
CREATE TABLE recovery (
	secret TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	sheet_id TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_recovery PRIMARY KEY (secret)
);
INSERT INTO "recovery" VALUES('6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e6e','p1','s1','2027-01-04 07:30:00.000000');
CREATE TABLE reminder (
	reminder_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	way TEXT NOT NULL, 
	address TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	auth TEXT NOT NULL, 
	device TEXT NOT NULL, 
	at TIME NOT NULL, 
	next_at DATETIME NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_reminder PRIMARY KEY (reminder_id), 
	CONSTRAINT uq_reminder_household_id_person_id UNIQUE (household_id, person_id)
);
INSERT INTO "reminder" VALUES('r1','home','p1','mail','ana@example.org','','','','07:00:00.000000','2027-01-04 07:30:00.000000','2027-01-04 07:30:00.000000');
CREATE TABLE service_key (
	name TEXT NOT NULL, 
	secret TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_service_key PRIMARY KEY (name)
);
INSERT INTO "service_key" VALUES('stop','a key','2027-01-04 07:30:00.000000');
CREATE TABLE session (
	secret TEXT NOT NULL, 
	session_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	scope TEXT NOT NULL, 
	name TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	seen_at DATETIME NOT NULL, 
	ends_at DATETIME NOT NULL, as_coach BOOLEAN DEFAULT 0 NOT NULL, 
	CONSTRAINT pk_session PRIMARY KEY (secret), 
	CONSTRAINT uq_session_session_id UNIQUE (session_id)
);
INSERT INTO "session" VALUES('ab','s1','home','p1','browser','write','kitchen phone','2027-01-04 07:30:00.000000','2027-01-04 07:30:00.000000','2028-01-04 07:30:00.000000',0);
CREATE TABLE sign_in (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	at DATETIME NOT NULL, 
	way TEXT NOT NULL, 
	outcome TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	address TEXT NOT NULL, 
	CONSTRAINT pk_sign_in PRIMARY KEY (household_id, seq)
);
INSERT INTO "sign_in" VALUES('home',1,'2027-01-04 07:30:00.000000','pairing','let in','p1','kitchen phone','192.168.0.7');
CREATE TABLE spell (
	household_id TEXT NOT NULL, 
	step TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	entered_on DATE NOT NULL, 
	days BIGINT NOT NULL, 
	ending TEXT NOT NULL, 
	ended_on DATE, 
	state TEXT NOT NULL, 
	settled_on DATE, 
	outcomes BIGINT NOT NULL, 
	sunday_days BIGINT NOT NULL, 
	sunday_ending TEXT NOT NULL, 
	pace TEXT NOT NULL, 
	CONSTRAINT pk_spell PRIMARY KEY (household_id, step)
);
INSERT INTO "spell" VALUES('home','bed-made','d1','2027-01-04',8,'settled','2027-01-11','settled','2027-01-11',7,7,'open','standard');
CREATE TABLE standing (
	household_id TEXT NOT NULL, 
	through DATE NOT NULL, 
	digest TEXT NOT NULL, 
	state TEXT NOT NULL, 
	CONSTRAINT pk_standing PRIMARY KEY (household_id, through), 
	CONSTRAINT fk_standing_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "standing" VALUES('home','2027-01-04','d1','{}');
CREATE TABLE tally (
	"key" TEXT NOT NULL, 
	since DATETIME NOT NULL, 
	count BIGINT NOT NULL, 
	CONSTRAINT pk_tally PRIMARY KEY ("key")
);
CREATE INDEX ix_log_household_id_date ON log (household_id, date);
CREATE INDEX ix_log_decisions ON log (household_id, step, logged_at) WHERE what NOT IN ('clear', 'excused', 'kept', 'missed', 'small');
CREATE TRIGGER log_is_append_only BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'rows of the log are never changed'); END;
CREATE INDEX ix_plan_log_household_id_what_key_seq ON plan_log (household_id, what, "key", seq);
CREATE INDEX ix_plan_state_household_id_through ON plan_state (household_id, through);
CREATE TRIGGER plan_log_is_append_only BEFORE UPDATE ON plan_log BEGIN SELECT RAISE(ABORT, 'rows of the plan are never changed'); END;
CREATE INDEX ix_member_person_id ON member (person_id);
CREATE INDEX ix_session_household_id ON session (household_id);
CREATE INDEX ix_session_person_id ON session (person_id);
CREATE INDEX ix_code_household_id ON code (household_id);
CREATE INDEX ix_answered_household_id_at ON answered (household_id, at);
CREATE INDEX ix_feed_household_id ON feed (household_id);
CREATE INDEX ix_reminder_next_at ON reminder (next_at);
CREATE INDEX ix_code_group_id ON code (group_id);
CREATE INDEX ix_code_begins ON code (begins);
CREATE INDEX ix_passkey_person_id ON passkey (person_id);
CREATE INDEX ix_recovery_person_id ON recovery (person_id);
CREATE INDEX ix_coached_group_person_id ON coached_group (person_id);
CREATE INDEX ix_kept_course_person_id ON kept_course (person_id);
CREATE INDEX ix_question_group_id_asked_at ON question (group_id, asked_at);
CREATE INDEX ix_question_household_id ON question (household_id);
CREATE INDEX ix_answer_group_id_answered_at ON answer (group_id, answered_at);
CREATE INDEX ix_enrolment_group_id_level ON enrolment (group_id, level);
CREATE INDEX ix_followed_through ON followed (through);
COMMIT;
