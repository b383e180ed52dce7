BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0004');
CREATE TABLE creations (
	"key" VARCHAR(64) NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	recipe INTEGER NOT NULL, 
	PRIMARY KEY ("key"), 
	FOREIGN KEY(recipe) REFERENCES recipes (id)
);
INSERT INTO "creations" VALUES('kkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkkk','dddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddd',3);
CREATE TABLE own_foods (
	"key" VARCHAR(200) NOT NULL, 
	name TEXT NOT NULL, 
	figures TEXT NOT NULL, 
	serving_g FLOAT, 
	density_g_ml FLOAT, 
	note TEXT DEFAULT '' NOT NULL, 
	changed VARCHAR(40) NOT NULL, 
	PRIMARY KEY ("key")
);
INSERT INTO "own_foods" VALUES('club bar','club bar','{"energy_kcal": 412.5, "fat_g": 14.0}',40.0,NULL,'','2026-11-25T10:59:19.894003+00:00');
CREATE TABLE recipes (
	id INTEGER NOT NULL, 
	title TEXT, 
	measures VARCHAR(10), 
	warnings TEXT DEFAULT '[]' NOT NULL, 
	version INTEGER DEFAULT '0' NOT NULL, 
	created VARCHAR(40) NOT NULL, 
	changed VARCHAR(40) NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "recipes" VALUES(1,NULL,'uk','[]',5,'2026-11-25T10:59:17.677784+00:00','2026-11-25T10:59:19.840009+00:00');
INSERT INTO "recipes" VALUES(2,NULL,NULL,'["there is little to read"]',1,'2026-11-25T10:59:19.877727+00:00','2026-11-25T10:59:19.877727+00:00');
INSERT INTO "recipes" VALUES(3,NULL,NULL,'[]',1,'2026-11-25T10:59:19.936983+00:00','2026-11-25T10:59:19.936983+00:00');
CREATE TABLE tokens (
	id INTEGER NOT NULL, 
	name VARCHAR(100) NOT NULL, 
	scope VARCHAR(10) NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	created VARCHAR(40) NOT NULL, 
	revoked VARCHAR(40), 
	PRIMARY KEY (id), 
	UNIQUE (name), 
	UNIQUE (digest)
);
INSERT INTO "tokens" VALUES(1,'planner','read','9eab06b65fa7235139766e348210ef2dc006e088e30ce66e3b1ec5fabb60be4a','2026-11-25T10:59:19+00:00',NULL);
CREATE TABLE turns (
	id INTEGER NOT NULL, 
	recipe INTEGER NOT NULL, 
	version INTEGER NOT NULL, 
	kind VARCHAR(10) NOT NULL, 
	who TEXT NOT NULL, 
	at VARCHAR(40) NOT NULL, 
	count INTEGER DEFAULT '0' NOT NULL, 
	text TEXT NOT NULL, 
	events TEXT NOT NULL, reply TEXT DEFAULT '[]' NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT one_turn_a_version UNIQUE (recipe, version), 
	FOREIGN KEY(recipe) REFERENCES recipes (id)
);
INSERT INTO "turns" VALUES(1,1,1,'said','cook','2026-11-25T10:59:17.679037+00:00',0,'Crew breakfast for four. Two cups of oats, a glug of honey, 800 ml milk. Simmer it on low heat for 5 minutes. Add a pinch of salt. Then berries, 200 g, no, 250.','[{"heard":[{"start":5,"end":23,"at":null,"text":"breakfast for four"}],"kind":"portioned","low":4.0,"best":4.0,"high":4.0},{"heard":[{"start":37,"end":41,"at":null,"text":"oats"}],"kind":"named","key":"r1","name":"oats","component":"main","state":null,"preparation":[],"optional":false,"swap_for":null,"condition":null},{"heard":[{"start":25,"end":41,"at":null,"text":"Two cups of oats"}],"kind":"measured","key":"r1","amount":{"low":2.0,"best":2.0,"high":2.0,"unit":"cup","basis":"measured","noun":null,"size":null,"said":"Two cups","content_g":null},"how":"set"},{"heard":[{"start":53,"end":58,"at":null,"text":"honey"}],"kind":"named","key":"r2","name":"honey","component":"main","state":null,"preparation":[],"optional":false,"swap_for":null,"condition":null},{"heard":[{"start":43,"end":58,"at":null,"text":"a glug of honey"}],"kind":"measured","key":"r2","amount":{"low":1.0,"best":1.0,"high":1.0,"unit":null,"basis":"vague","noun":"glug","size":null,"said":"a glug","content_g":null},"how":"set"},{"heard":[{"start":67,"end":71,"at":null,"text":"milk"}],"kind":"named","key":"r3","name":"milk","component":"main","state":null,"preparation":[],"optional":false,"swap_for":null,"condition":null},{"heard":[{"start":60,"end":71,"at":null,"text":"800 ml milk"}],"kind":"measured","key":"r3","amount":{"low":800.0,"best":800.0,"high":800.0,"unit":"ml","basis":"measured","noun":null,"size":null,"said":"800 ml","content_g":null},"how":"set"},{"heard":[{"start":73,"end":109,"at":null,"text":"Simmer it on low heat for 5 minutes."}],"kind":"stepped","key":"s4","verb":"simmer","text":"Simmer oats, honey and milk on low heat for 5 minutes","component":"main","ingredients":["r1","r2","r3"],"vessel":null,"heat":"low","temperature_c":null,"core_c":null,"minutes":{"low":5.0,"high":5.0},"until":null,"alongside":null},{"heard":[{"start":125,"end":129,"at":null,"text":"salt"}],"kind":"named","key":"r5","name":"salt","component":"main","state":null,"preparation":[],"optional":false,"swap_for":null,"condition":null},{"heard":[{"start":114,"end":129,"at":null,"text":"a pinch of salt"}],"kind":"measured","key":"r5","amount":{"low":1.0,"best":1.0,"high":1.0,"unit":null,"basis":"vague","noun":"pinch","size":null,"said":"a pinch","content_g":null},"how":"set"},{"heard":[{"start":110,"end":130,"at":null,"text":"Add a pinch of salt."}],"kind":"stepped","key":"s6","verb":"add","text":"Add a pinch of salt","component":"main","ingredients":["r5"],"vessel":null,"heat":null,"temperature_c":null,"core_c":null,"minutes":null,"until":null,"alongside":null},{"heard":[{"start":136,"end":143,"at":null,"text":"berries"}],"kind":"named","key":"r7","name":"berry","component":"main","state":null,"preparation":[],"optional":false,"swap_for":null,"condition":null},{"heard":[{"start":136,"end":150,"at":null,"text":"berries, 200 g"}],"kind":"measured","key":"r7","amount":{"low":200.0,"best":200.0,"high":200.0,"unit":"g","basis":"weighed","noun":null,"size":null,"said":"200 g","content_g":null},"how":"set"},{"heard":[{"start":156,"end":159,"at":null,"text":"250"}],"kind":"measured","key":"r7","amount":{"low":250.0,"best":250.0,"high":250.0,"unit":"g","basis":"weighed","noun":null,"size":null,"said":"250","content_g":null},"how":"set"},{"heard":[{"start":131,"end":160,"at":null,"text":"Then berries, 200 g, no, 250."}],"kind":"stepped","key":"s8","verb":"add","text":"Add berry","component":"main","ingredients":["r7"],"vessel":null,"heat":null,"temperature_c":null,"core_c":null,"minutes":null,"until":null,"alongside":null}]','[]');
INSERT INTO "turns" VALUES(2,1,2,'said','cox','2026-11-25T10:59:18.749422+00:00',0,'a tablespoon','[{"heard":[{"start":161,"end":173,"at":null,"text":"a tablespoon"}],"kind":"measured","key":"r3","amount":{"low":1.0,"best":1.0,"high":1.0,"unit":"tbsp","basis":"measured","noun":null,"size":null,"said":"a tablespoon","content_g":null},"how":"set"}]','["milk: a tablespoon (15-16 g)", "energy: 170-255 kcal a portion"]');
INSERT INTO "turns" VALUES(3,1,3,'undo','cox','2026-11-25T10:59:18.798833+00:00',1,'undo','[]','["Taken back: cox: a tablespoon", "milk: 800 ml (809-842 g)", "energy: 240-380 kcal a portion"]');
INSERT INTO "turns" VALUES(4,1,4,'said','cox','2026-11-25T10:59:19.162410+00:00',0,'add 10 g of butter','[{"heard":[{"start":173,"end":179,"at":null,"text":"butter"}],"kind":"named","key":"m1.r1","name":"butter","component":"main","state":null,"preparation":[],"optional":false,"swap_for":null,"condition":null},{"heard":[{"start":165,"end":179,"at":null,"text":"10 g of butter"}],"kind":"measured","key":"m1.r1","amount":{"low":10.0,"best":10.0,"high":10.0,"unit":"g","basis":"weighed","noun":null,"size":null,"said":"10 g","content_g":null},"how":"set"},{"heard":[{"start":161,"end":179,"at":null,"text":"add 10 g of butter"}],"kind":"stepped","key":"m1.s2","verb":"add","text":"Add 10 g of butter","component":"main","ingredients":["m1.r1"],"vessel":null,"heat":null,"temperature_c":null,"core_c":null,"minutes":null,"until":null,"alongside":null}]','["new: butter, 10 g (10 g)", "step 4. Add 10 g of butter", "energy: 255-400 kcal a portion"]');
INSERT INTO "turns" VALUES(5,1,5,'asked','cox','2026-11-25T10:59:19.840009+00:00',0,'what''s the protein?','[]','["Protein: 12 g (12-14 g) a portion."]');
INSERT INTO "turns" VALUES(6,2,1,'said','cook','2026-11-25T10:59:19.878037+00:00',0,'Tea.','[]','[]');
INSERT INTO "turns" VALUES(7,3,1,'said','cook','2026-11-25T10:59:19.937394+00:00',0,'Toast.','[]','[]');
CREATE INDEX ix_turns_recipe ON turns (recipe);
COMMIT;
