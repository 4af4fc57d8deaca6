#include "explained.h"

#include "../text/figures.h"

namespace tymbal {

void explain(std::ostream& out, const std::string& name, const std::string& formula, const std::string& source,
             const std::string& note) {
    out << "\n" << name << "\n";
    out << "  formula  " << wrapped(out, formula, 11, 11) << '\n';
    out << "  source   " << wrapped(out, source, 11, 11) << '\n';
    if (!note.empty()) out << "  note     " << wrapped(out, note, 11, 11) << '\n';
}

void explain_inputs(std::ostream& out, const std::vector<SourceLine>& sources, const std::string& of) {
    out << "\nINPUTS AND THEIR SOURCES" << (of.empty() ? "" : "  (" + of + ")") << '\n';
    for (const SourceLine& s : sources) {
        out << "  " << left(s.quantity + " ", 28) << quantity_text(s.value, s.deviation, s.unit) << '\n'
            << "      " << wrapped(out, s.source, 6, 6) << '\n';
    }
}

}  // namespace tymbal
