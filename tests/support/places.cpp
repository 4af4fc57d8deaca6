#include "support/places.h"

namespace places {

std::string source_dir() {
    return TYMBAL_SOURCE_DIR;
}

std::string program() {
    return TYMBAL_PROGRAM;
}

}  // namespace places
