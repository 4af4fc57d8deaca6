// What a log of chips lacks or has in a doubtful order: steps left out, devices never measured, dates that run back.
#pragma once

#include "tymbal/record/record_file.h"

#include <string>
#include <vector>

namespace tymbal {

/// Something that a record lacks, or that is wrong in it.
struct RecordFinding {
    bool fault = false;  ///< something lost or changed; else a gap
    std::string chip;    ///< empty: the whole record
    std::string text;
};

[[nodiscard]] std::vector<RecordFinding> record_gaps(const RecordContents& record);

}  // namespace tymbal
