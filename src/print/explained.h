// What figures rest on, the part that --explain of every command shares.
#pragma once

#include "tymbal/task/predict.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// A figure's formula, in the words of the function that computes it, and its reference.
struct Explained {
    const char* figure;
    const char* formula;
    const char* source;
};

/// One entry. @param note  what else must be known, may be empty
void explain(std::ostream& out, const std::string& name, const std::string& formula, const std::string& source,
             const std::string& note);

inline constexpr const char* figures_heading = "\nHOW EACH FIGURE IS OBTAINED\n";

/// @param figures  a range of Explained
template <class Range>
void explain_figures(std::ostream& out, const Range& figures) {
    for (const Explained& e : figures) explain(out, e.figure, e.formula, e.source, "");
}

/// Every input with value, deviation and source. @param of  whose inputs, where there are several
void explain_inputs(std::ostream& out, const std::vector<SourceLine>& sources, const std::string& of = "");

}  // namespace tymbal
