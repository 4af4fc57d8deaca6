#include "tymbal/read/starters.h"

#include "assets.h"

namespace tymbal {

std::array<Starter, 3> starters() {
    return {{{"lattice", "a drawn outline with a lattice of holes over a gap", starter_lattice},
             {"window", "a plain film over a window through the wafer", starter_window},
             {"undercut", "a membrane that the etch sets free round its holes", starter_undercut}}};
}

}  // namespace tymbal
