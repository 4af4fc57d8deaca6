// What the program would write into a file and onto the screen, of any result.
#pragma once

#include <pybind11/pybind11.h>

#include <sstream>
#include <string>

namespace tymbal::python {

struct Texts {
    std::string json, table;
};

template <class Write>
std::string written(Write write) {
    std::ostringstream out;
    write(out);
    return out.str();
}

/// Finds write_json and write_table by the result's type.
template <class Result>
Texts texts_of(const Result& result) {
    return {written([&](std::ostream& out) { write_json(out, result); }),
            written([&](std::ostream& out) { write_table(out, result); })};
}

inline pybind11::tuple as_tuple(const Texts& texts) {
    return pybind11::make_tuple(texts.json, texts.table);
}

}  // namespace tymbal::python
