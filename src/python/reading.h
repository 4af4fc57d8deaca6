// Measured files as callers in Python give them, and what they say of them.
#pragma once

#include "tymbal/read/read_measured.h"

#include <pybind11/pybind11.h>

#include <string>
#include <utility>
#include <vector>

namespace tymbal::python {

namespace py = pybind11;

/// A file of measured lines and the name it goes by in messages and results.
using MeasuredFile = std::pair<std::string, std::string>;

/// @param words  kind, signal, width, decimal, resolution, frequency; None: not said
/// @throws InputError naming the word
[[nodiscard]] ReadingChoice reading_from(const py::dict& words);

[[nodiscard]] Measured read_named(const MeasuredFile& file, const ReadingChoice& choice);

/// The devices of a chip that the file names. @param device  whose file it is; empty: as the file says
[[nodiscard]] std::vector<MeasuredDevice> read_devices(const MeasuredFile& file, const std::string& device,
                                                       const ReadingChoice& choice);

}  // namespace tymbal::python
