// A GDSII stream file as it stands: cells with their elements, references not yet followed.
#pragma once

#include "tymbal/mask/read_gdsii.h"

#include <array>
#include <map>

namespace tymbal::gdsii {

struct Figure {
    int layer = 0;
    bool is_path = false;
    std::vector<std::array<int, 2>> corners;  ///< database units
    std::size_t at_byte = 0;
};

/// One or, in columns and rows, many copies of a cell.
struct Reference {
    std::string name;
    bool mirrored = false;
    double scale = 1.0;
    double turn_rad = 0.0;
    std::array<int, 2> at{};
    int columns = 1;
    int rows = 1;
    std::array<double, 2> column_step{};  ///< database units
    std::array<double, 2> row_step{};
    std::size_t at_byte = 0;
};

struct Cell {
    std::string name;
    std::vector<Figure> figures;
    std::vector<Reference> references;
    std::size_t at_byte = 0;
};

struct Library {
    double unit_m = 0.0;
    std::vector<Cell> cells;
    std::map<std::string, std::size_t> number_of;
};

/// @throws InputError naming the byte
[[nodiscard]] Library parse(const std::string& bytes, const std::string& path);

[[noreturn]] void refuse(const std::string& path, std::size_t at_byte, const std::string& message);

}  // namespace tymbal::gdsii
