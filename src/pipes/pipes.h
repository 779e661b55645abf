// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The room of pipes, by one include: sizes, friction, networks, pumps, the whole loop's hydraulics.
#ifndef GW_PIPES_H
#define GW_PIPES_H

#include "pipes/circuit.h"
#include "pipes/fitting.h"
#include "pipes/friction.h"
#include "pipes/network.h"
#include "pipes/pump.h"
#include "pipes/size.h"

#endif
