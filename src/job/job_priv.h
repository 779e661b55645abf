// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The tables of the job's parts, and short forms for their rows.
#ifndef GW_JOB_PRIV_H
#define GW_JOB_PRIV_H

#include "job/job.h"

extern const gw_form GW_JOB_PRIV_SITE;
extern const gw_form GW_JOB_PRIV_LOT;
extern const gw_form GW_JOB_PRIV_HOUSE;
extern const gw_form GW_JOB_PRIV_ASSEMBLY;
extern const gw_form GW_JOB_PRIV_BILLS;
extern const gw_form GW_JOB_PRIV_PLANT;
extern const gw_form GW_JOB_PRIV_GROUND;
extern const gw_form GW_JOB_PRIV_FLUID;
extern const gw_form GW_JOB_PRIV_PIPES;
extern const gw_form GW_JOB_PRIV_LIMITS;
extern const gw_form GW_JOB_PRIV_LOOP;
extern const gw_form GW_JOB_PRIV_PART; // of a mixed loop
extern const gw_form GW_JOB_PRIV_TRENCH;
extern const gw_form GW_JOB_PRIV_COIL;
extern const gw_form GW_JOB_PRIV_POND;
extern const gw_form GW_JOB_PRIV_WELL;
extern const gw_form GW_JOB_PRIV_MONEY;

// The component's resistance from its assembly, or as typed; complains about neither and both.
void gw_job_priv_finish_insulation(gw_form_reader *reader, gw_house_component *part);

// Puts what a room's own check found at the key of the document that it names: `prefix` is taken
// off its field, and ".points" of a curve.
void gw_job_priv_hand_on(gw_form_reader *reader, const gw_err *err, const char *prefix);

#define ROWS(array) .fields = (array), .field_count = sizeof(array) / sizeof((array)[0])
#define WORDS(array) .words = (array), .word_count = sizeof(array) / sizeof((array)[0])
#define QUANTITY(of) .type = GW_FORM_QUANTITY, .kind = GW_QTY_##of
#define LIMITS(low, high) .lowest = (low), .highest = (high)
#define USUAL(low, high) .usual_low = (low), .usual_high = (high)
#define REQUIRED .presence = GW_FORM_REQUIRED
#define DEFAULT(value) .presence = GW_FORM_DEFAULT, .fallback = (value)
#define OPTIONAL(mark) .presence = GW_FORM_OPTIONAL, .fallback = (mark)
#define NOT_GIVEN OPTIONAL(GW_FORM_NOT_GIVEN)
#define WHOLE(how) .type = GW_FORM_WHOLE, .store = GW_FORM_STORE_##how
#define PIPE_ID .type = GW_FORM_ID, .table = "pipes.csv", .column = "id"

#endif
