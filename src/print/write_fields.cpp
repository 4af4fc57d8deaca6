#include "tymbal/print/write_fields.h"

#include "../text/base64.h"
#include "../text/csv.h"

#include "tymbal/base/error.h"
#include "tymbal/text/whole_file.h"

#include <cmath>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <limits>

namespace tymbal {

namespace {

/// Least significant byte first, whatever the machine does.
template <class Unsigned>
void append_bytes(std::vector<std::uint8_t>& bytes, Unsigned number) {
    for (unsigned shift = 0; shift < 8 * sizeof number; shift += 8)
        bytes.push_back(static_cast<std::uint8_t>(number >> shift & 0xffU));
}

/// A DataArray as its content stands inline: length in bytes, then the numbers, together in base64.
void write_array(std::ostream& out, const std::string& name, int components, const std::vector<double>& values) {
    std::vector<std::uint8_t> bytes;
    bytes.reserve(8 * values.size() + 8);
    append_bytes(bytes, static_cast<std::uint64_t>(8 * values.size()));
    for (const double v : values) {
        std::uint64_t bits = 0;
        std::memcpy(&bits, &v, sizeof bits);
        append_bytes(bytes, bits);
    }
    out << "<DataArray type=\"Float64\" Name=\"" << name << "\" NumberOfComponents=\"" << components
        << "\" format=\"binary\">" << base64(bytes) << "</DataArray>\n";
}

/// Opening of a file with points 0..nx by 0..ny.
void begin_image(std::ostream& out, int nx, int ny, Point origin, Point spacing) {
    const std::string extent = "0 " + std::to_string(nx) + " 0 " + std::to_string(ny) + " 0 0";
    out << "<?xml version=\"1.0\"?>\n<VTKFile type=\"ImageData\" version=\"1.0\" byte_order=\"LittleEndian\" "
           "header_type=\"UInt64\">\n<ImageData WholeExtent=\""
        << extent << "\" Origin=\"" << shortest(origin.x) << ' ' << shortest(origin.y) << " 0\" Spacing=\""
        << shortest(spacing.x) << ' ' << shortest(spacing.y) << " 1\">\n<Piece Extent=\"" << extent << "\">\n";
}

void end_image(std::ostream& out) {
    out << "</Piece>\n</ImageData>\n</VTKFile>\n";
}

void make_folder(const std::string& folder) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (!std::filesystem::is_directory(folder))
        throw InputError({folder, 0}, "", "cannot be made a folder; name one that exists or may be made");
}

/// Displacement over its largest; NaN where the film is open.
std::vector<double> displacement(const ShapeRaster& shape) {
    std::vector<double> w = shape.w;
    for (std::size_t p = 0; p < shape.open.size(); ++p)
        if (shape.open[p]) w[p] = std::numeric_limits<double>::quiet_NaN();
    return w;
}

}  // namespace

void write_modes_vtk(std::ostream& out, const Prediction& prediction) {
    const ShapeRaster& first = prediction.modes.front().mode.shape;
    begin_image(out, first.columns - 1, first.rows - 1, {first.x0, first.y0}, {first.dx, first.dy});
    out << "<PointData Scalars=\"mode_1\">\n";
    for (const PredictedMode& m : prediction.modes)
        write_array(out, "mode_" + std::to_string(m.mode.index), 1, displacement(m.mode.shape));
    out << "</PointData>\n";
    end_image(out);
}

void write_stress_vtk(std::ostream& out, const StressMap& map) {
    begin_image(out, map.columns, map.rows, {map.x0 - 0.5 * map.dx, map.y0 - 0.5 * map.dy}, {map.dx, map.dy});
    out << "<CellData Scalars=\"stress_largest_pa\">\n";
    write_array(out, "stress_largest_pa", 1, map.largest);
    std::vector<double> mean;
    for (const auto& s : map.mean) mean.insert(mean.end(), s.begin(), s.end());
    write_array(out, "stress_mean_pa", 3, mean);
    out << "</CellData>\n";
    end_image(out);
}

void write_modes_csv(std::ostream& out, const Prediction& prediction) {
    const ShapeRaster& first = prediction.modes.front().mode.shape;
    out << "x_m,y_m";
    for (const PredictedMode& m : prediction.modes) out << ",mode_" << m.mode.index;
    out << '\n';
    for (int j = 0; j < first.rows; ++j)
        for (int i = 0; i < first.columns; ++i) {
            const auto point = static_cast<std::size_t>(i + first.columns * j);
            if (!first.open.empty() && first.open[point]) continue;
            out << csv(first.x0 + i * first.dx) << ',' << csv(first.y0 + j * first.dy);
            for (const PredictedMode& m : prediction.modes) out << ',' << csv(m.mode.shape.w[point]);
            out << '\n';
        }
}

void write_stress_csv(std::ostream& out, const StressMap& map) {
    out << "x_m,y_m,stress_xx_pa,stress_yy_pa,stress_xy_pa,stress_largest_pa\n";
    for (int j = 0; j < map.rows; ++j)
        for (int i = 0; i < map.columns; ++i) {
            const auto cell = static_cast<std::size_t>(i + map.columns * j);
            if (std::isnan(map.largest[cell])) continue;
            out << csv(map.x0 + i * map.dx) << ',' << csv(map.y0 + j * map.dy);
            for (const double s : map.mean[cell]) out << ',' << csv(s);
            out << ',' << csv(map.largest[cell]) << '\n';
        }
}

std::vector<const char*> field_files(bool with_csv) {
    std::vector<const char*> names{"modes.vti", "stress.vti"};
    if (with_csv) names.insert(names.end(), {"modes.csv", "stress.csv"});
    return names;
}

void write_fields(const std::string& folder, const Prediction& prediction, const StressMap& map, bool with_csv) {
    make_folder(folder);
    const auto in_folder = [&](const char* name) { return (std::filesystem::path(folder) / name).string(); };
    write_whole(in_folder("modes.vti"), [&](std::ostream& out) { write_modes_vtk(out, prediction); });
    write_whole(in_folder("stress.vti"), [&](std::ostream& out) { write_stress_vtk(out, map); });
    if (!with_csv) return;
    write_whole(in_folder("modes.csv"), [&](std::ostream& out) { write_modes_csv(out, prediction); });
    write_whole(in_folder("stress.csv"), [&](std::ostream& out) { write_stress_csv(out, map); });
}

}  // namespace tymbal
