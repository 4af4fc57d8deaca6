// The fingerprint lives in base, where the record of chips needs it too.
#pragma once

#include "../base/sha256.h"
