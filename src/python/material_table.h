// The material table of the module, and where it was read from: no file of it is written over.
#pragma once

#include "tymbal/base/material.h"

#include <string>

namespace tymbal::python {

struct MaterialTable : Materials {
    std::string folder;
};

}  // namespace tymbal::python
