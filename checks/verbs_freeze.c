// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Freezing of soil: the front below a cold surface, the ring of ice around one pipe.
#include "check.h"

const gw_check_verb gw_verbs_freeze[] = {{0}};
