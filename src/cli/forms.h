// A result in every form that was asked for: files first, then tables for people where none of them has standard
// output.
#pragma once

#include "output.h"
#include "terminal.h"

#include <ostream>
#include <string>

namespace tymbal {

struct Forms {
    const std::string &json, &csv, &plot;  ///< targets of write_to
    bool quiet = false, explain = false;
};

/// The writers of tymbal/files that take such a result.
template <class Result>
void deliver(const Forms& forms, const Result& result) {
    write_to(forms.json, [&](std::ostream& out) { write_json(out, result); });
    write_to(forms.csv, [&](std::ostream& out) { write_csv(out, result); });
    write_to(forms.plot, [&](std::ostream& out) { write_plot(out, result); });
    if (forms.quiet || forms.json == "-" || forms.csv == "-" || forms.plot == "-") return;
    show([&](std::ostream& out) { write_table(out, result); });
    if (forms.explain) show([&](std::ostream& out) { write_explanation(out, result); });
}

}  // namespace tymbal
