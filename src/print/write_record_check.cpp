#include "../text/figures.h"
#include "../text/plain_name.h"

#include "tymbal/print/write_record.h"

namespace tymbal {

void write_check(std::ostream& out, const std::string& path, const std::vector<RecordFinding>& found) {
    out << path << '\n';
    for (const bool fault : {true, false}) {
        bool headed = false;
        for (const RecordFinding& f : found) {
            if (f.fault != fault) continue;
            if (!headed) out << (fault ? "\nFAULTS\n" : "\nGAPS\n");
            headed = true;
            out << "  " << wrapped(out, printable(f.chip.empty() ? f.text : f.chip + ": " + f.text), 2, 4) << '\n';
        }
    }
    out << (found.empty() ? "\npages, links, hashes and keys are sound, no step is missing\n" : "");
}

}  // namespace tymbal
