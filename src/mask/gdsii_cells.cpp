#include "gdsii_cells.h"

#include "gdsii_records.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <cmath>
#include <cstdint>

namespace tymbal::gdsii {

namespace {

constexpr unsigned absolute_flags = 0x0006;  // of a transformation: scale and angle that ignore the cells above
constexpr unsigned mirror_flag = 0x8000;

/// One record inside the file's bytes.
struct RecordView {
    unsigned type = 0;
    std::size_t at = 0;    ///< byte of the record
    std::size_t from = 0;  ///< byte of its data
    std::size_t size = 0;  ///< of its data
};

class Reader {
public:
    Reader(const std::string& bytes, const std::string& path) : bytes_(bytes), path_(path) {}

    [[nodiscard]] RecordView next() {
        const std::size_t left = bytes_.size() - at_;
        if (left < 4) refuse(path_, at_, "the file ends before its end-of-library record: it is cut, or no GDSII file");
        const std::size_t length = big_endian(at_, 2);
        if (length < 4 || length % 2 == 1)
            refuse(
                path_, at_,
                std::string("a record of length ")
                    .append(std::to_string(length))
                    .append(" cannot be: an even number from 4 on is wanted; this is no GDSII file, or a damaged one"));
        if (length > left)
            refuse(path_, at_,
                   std::string("a record claims ")
                       .append(std::to_string(length))
                       .append(" bytes and the file has ")
                       .append(std::to_string(left))
                       .append(" left; the file is cut or damaged"));
        const RecordView record{static_cast<unsigned>(big_endian(at_ + 2, 2)), at_, at_ + 4, length - 4};
        at_ += length;
        return record;
    }

    void require(const RecordView& r, bool sound, const char* wanted) const {
        if (!sound) refuse(path_, r.at, std::string("a record has the wrong data; wanted: ").append(wanted));
    }
    [[nodiscard]] unsigned number16(const RecordView& r, std::size_t index = 0) const {
        require(r, r.size >= 2 * (index + 1), "16-bit numbers");
        return static_cast<unsigned>(big_endian(r.from + 2 * index, 2));
    }
    [[nodiscard]] std::vector<std::array<int, 2>> points(const RecordView& r) const {
        require(r, r.size >= 8 && r.size % 8 == 0, "pairs of 32-bit coordinates");
        std::vector<std::array<int, 2>> all;
        for (std::size_t at = r.from; at < r.from + r.size; at += 8) all.push_back({signed32(at), signed32(at + 4)});
        return all;
    }
    [[nodiscard]] double real(const RecordView& r, std::size_t index = 0) const {
        require(r, r.size >= 8 * (index + 1), "8-byte real numbers");
        const std::size_t at = r.from + 8 * index;
        const auto head = static_cast<int>(big_endian(at, 1));
        const double mantissa = std::ldexp(static_cast<double>(big_endian(at + 1, 7)), -56);
        return (head >= 128 ? -1.0 : 1.0) * std::ldexp(mantissa, 4 * (head % 128 - 64));
    }
    [[nodiscard]] std::string text(const RecordView& r) const {
        std::string text = bytes_.substr(r.from, r.size);
        while (!text.empty() && text.back() == '\0') text.pop_back();
        require(r, !text.empty(), "a name");
        return text;
    }
    [[nodiscard]] const std::string& path() const { return path_; }

private:
    [[nodiscard]] std::uint64_t big_endian(std::size_t at, std::size_t count) const {
        std::uint64_t value = 0;
        for (std::size_t k = 0; k < count; ++k) value = value << 8U | static_cast<unsigned char>(bytes_[at + k]);
        return value;
    }
    [[nodiscard]] int signed32(std::size_t at) const {
        return static_cast<int>(static_cast<std::int32_t>(static_cast<std::uint32_t>(big_endian(at, 4))));
    }

    const std::string& bytes_;
    const std::string& path_;
    std::size_t at_ = 0;
};

/// The records of one element that matter here.
struct Element {
    RecordView begin;
    int layer = 0;
    std::string name;
    unsigned flags = 0;
    double scale = 1.0;
    double turn_rad = 0.0;
    int columns = 1;
    int rows = 1;
    std::vector<std::array<int, 2>> points;
};

Element read_element(Reader& in, const RecordView& begin) {
    Element e{begin, 0, {}, 0, 1.0, 0.0, 1, 1, {}};
    for (RecordView r = in.next(); r.type != record::end_element; r = in.next()) {
        switch (r.type) {
            case record::layer: e.layer = static_cast<int>(in.number16(r)); break;
            case record::referred_name: e.name = in.text(r); break;
            case record::transformation: e.flags = in.number16(r); break;
            case record::magnification: e.scale = in.real(r); break;
            case record::angle: e.turn_rad = in.real(r) * constants::pi / 180.0; break;
            case record::columns_rows:
                e.columns = static_cast<int>(in.number16(r, 0));
                e.rows = static_cast<int>(in.number16(r, 1));
                in.require(r, e.columns >= 1 && e.columns < 32768 && e.rows >= 1 && e.rows < 32768,
                           "numbers of columns and rows from 1 to 32767");
                break;
            case record::coordinates: e.points = in.points(r); break;
            case record::begin_cell:
            case record::end_cell:
            case record::end_library: refuse(in.path(), r.at, "a cell ends inside an element; the file is damaged");
            default: break;  // properties, line widths and the like
        }
    }
    return e;
}

Figure to_figure(const Element& e, const std::string& path) {
    Figure f{e.layer, e.begin.type == record::path, e.points, e.begin.at};
    if (f.corners.size() > 1 && f.corners.front() == f.corners.back()) f.corners.pop_back();
    if (!f.is_path && f.corners.size() < 3) refuse(path, e.begin.at, "a polygon has fewer than three corners");
    return f;
}

/// The second and third point of an array lie one step beyond its last column and row.
Reference to_reference(const Element& e, const std::string& path) {
    const bool is_array = e.begin.type == record::array;
    if (e.points.size() != (is_array ? 3U : 1U))
        refuse(path, e.begin.at, is_array ? "an array needs three points" : "a reference needs one point");
    if (e.name.empty()) refuse(path, e.begin.at, "a reference names no cell");
    if ((e.flags & absolute_flags) != 0)
        refuse(path, e.begin.at,
               "a reference has an absolute scale or angle, which is not accepted; use relative ones");
    if (!(e.scale > 1e-6 && e.scale < 1e6) || !(std::abs(e.turn_rad) < 1e6))
        refuse(path, e.begin.at, "a reference has a scale or angle out of any sensible range");
    Reference r{e.name, (e.flags & mirror_flag) != 0, e.scale, e.turn_rad, e.points[0], 1, 1, {}, {}, e.begin.at};
    if (!is_array) return r;
    r.columns = e.columns;
    r.rows = e.rows;
    const auto step = [&](std::size_t k, int count) {
        return std::array{(static_cast<double>(e.points[k][0]) - e.points[0][0]) / count,
                          (static_cast<double>(e.points[k][1]) - e.points[0][1]) / count};
    };
    r.column_step = step(1, r.columns);
    r.row_step = step(2, r.rows);
    return r;
}

Cell read_cell(Reader& in, const RecordView& begin) {
    Cell cell;
    cell.at_byte = begin.at;
    for (RecordView r = in.next(); r.type != record::end_cell; r = in.next()) {
        switch (r.type) {
            case record::cell_name: cell.name = in.text(r); break;
            case record::boundary:
            case record::box:
            case record::path: cell.figures.push_back(to_figure(read_element(in, r), in.path())); break;
            case record::reference:
            case record::array: cell.references.push_back(to_reference(read_element(in, r), in.path())); break;
            case record::text:
            case record::node: (void)read_element(in, r); break;
            case record::begin_cell:
            case record::end_library: refuse(in.path(), r.at, "a cell is not closed; the file is damaged");
            default: break;
        }
    }
    if (cell.name.empty()) refuse(in.path(), begin.at, "a cell has no name");
    return cell;
}

}  // namespace

void refuse(const std::string& path, std::size_t at_byte, const std::string& message) {
    throw InputError({path, 0}, std::string("byte ").append(std::to_string(at_byte)), message);
}

Library parse(const std::string& bytes, const std::string& path) {
    Reader in(bytes, path);
    Library library;
    RecordView r = in.next();
    if (r.type != record::header) refuse(path, 0, "the first record is no GDSII header");
    for (; r.type != record::end_library; r = in.next()) {
        if (r.type == record::units) {
            library.unit_m = in.real(r, 1);
            if (!(library.unit_m >= 1e-14 && library.unit_m <= 1e-3))
                refuse(path, r.at, "the database unit is not between 1e-14 m and 1 mm");
        }
        if (r.type != record::begin_cell) continue;
        Cell cell = read_cell(in, r);
        if (!library.number_of.emplace(cell.name, library.cells.size()).second)
            refuse(path, cell.at_byte, std::string("a second cell is named '").append(cell.name).append("'"));
        library.cells.push_back(std::move(cell));
    }
    if (library.unit_m == 0.0) refuse(path, 0, "the file has no record of its units");
    return library;
}

}  // namespace tymbal::gdsii
