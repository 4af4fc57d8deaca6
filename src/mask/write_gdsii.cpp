#include "tymbal/mask/write_gdsii.h"

#include "gdsii_records.h"

#include <cmath>
#include <cstdint>

namespace tymbal {

namespace {

namespace record = gdsii::record;

constexpr std::size_t block = std::size_t{1} << 20;  // bytes gathered before they go to the stream

/// Collects the data of one record behind a place for its head.
class GdsiiWriter {
public:
    explicit GdsiiWriter(std::ostream& out) : out_(out) { data_.reserve(block + 0x10000); }

    GdsiiWriter& number16(int value) { return add(static_cast<std::uint32_t>(value), 2); }
    GdsiiWriter& point(DrawnPoint p) {
        return add(static_cast<std::uint32_t>(p.x), 4).add(static_cast<std::uint32_t>(p.y), 4);
    }
    GdsiiWriter& text(const std::string& text) {
        data_ += text;
        if (text.size() % 2 == 1) data_.push_back('\0');
        return *this;
    }

    /// Positive: exponent of 16 plus 64 (one byte), and a mantissa of 56 bits between 1/16 and 1.
    GdsiiWriter& real(double value) {
        int exponent = 0;
        const double mantissa = std::frexp(value, &exponent);
        const int sixteens = static_cast<int>(std::ceil(exponent / 4.0));
        const auto digits = static_cast<std::uint64_t>(std::ldexp(mantissa, 56 + exponent - 4 * sixteens));
        return add(static_cast<std::uint32_t>(64 + sixteens), 1).add(digits, 7);
    }

    /// Ends the record: its length and type go in front of what was added since the last one.
    void write(unsigned type) {
        const std::size_t length = data_.size() - start_;
        for (const unsigned shift : {24U, 16U, 8U, 0U})
            data_[start_ + (24U - shift) / 8U - 4] = static_cast<char>((((length + 4) << 16U | type) >> shift) & 0xFFU);
        if (data_.size() > block) flush();
        data_.append(4, '\0');
        start_ = data_.size();
    }

    void finish() {
        data_.resize(data_.size() - 4);
        out_ << data_;
    }

private:
    GdsiiWriter& add(std::uint64_t value, unsigned bytes) {
        for (unsigned k = bytes; k-- > 0;) data_.push_back(static_cast<char>((value >> (8 * k)) & 0xFFU));
        return *this;
    }
    void flush() {
        out_ << data_;
        data_.clear();
    }

    std::ostream& out_;
    std::string data_ = std::string(4, '\0');
    std::size_t start_ = 4;  ///< of this record's data; its head takes the four bytes before
};

void write_dates(GdsiiWriter& to, unsigned type) {
    for (int k = 0; k < 12; ++k) to.number16(0);  // changed and read, each with six numbers
    to.write(type);
}

void write_figure(GdsiiWriter& to, const DrawnFigure& figure, const LayerNumbers& layers) {
    const LayerNumber& at = layers[static_cast<std::size_t>(figure.layer)];
    to.write(record::boundary);
    to.number16(at.layer).write(record::layer);
    to.number16(at.datatype).write(record::data_type);
    for (const DrawnPoint p : figure.corners) to.point(p);
    to.point(figure.corners.front()).write(record::coordinates);
    to.write(record::end_element);
}

/// The corners of an array lie one step beyond its last column and row; a lone column or row needs a step all the same.
void write_array_shape(GdsiiWriter& to, const Placement& p) {
    to.number16(p.columns).number16(p.rows).write(record::columns_rows);
    const DrawnPoint column = p.columns > 1 ? p.column_step : DrawnPoint{p.row_step.y, 0};
    const DrawnPoint row = p.rows > 1 ? p.row_step : DrawnPoint{0, p.column_step.x};
    to.point(p.at)
        .point({p.at.x + p.columns * column.x, p.at.y + p.columns * column.y})
        .point({p.at.x + p.rows * row.x, p.at.y + p.rows * row.y})
        .write(record::coordinates);
}

void write_placement(GdsiiWriter& to, const Placement& p, const std::string& name) {
    const bool single = p.columns == 1 && p.rows == 1;
    to.write(single ? record::reference : record::array);
    to.text(name).write(record::referred_name);
    if (single)
        to.point(p.at).write(record::coordinates);
    else
        write_array_shape(to, p);
    to.write(record::end_element);
}

}  // namespace

void write_gdsii(std::ostream& out, const Drawing& drawing, const LayerNumbers& layers) {
    GdsiiWriter to(out);
    to.number16(600).write(record::header);
    write_dates(to, record::begin_library);
    to.text("TYMBAL").write(record::library_name);
    to.real(drawn_unit_m / 1e-6).real(drawn_unit_m).write(record::units);
    for (const DrawnCell& cell : drawing.cells) {
        write_dates(to, record::begin_cell);
        to.text(cell.name).write(record::cell_name);
        for (const DrawnFigure& figure : cell.figures) write_figure(to, figure, layers);
        for (const Placement& p : cell.placements) write_placement(to, p, drawing.cells[p.cell].name);
        to.write(record::end_cell);
    }
    to.write(record::end_library);
    to.finish();
}

}  // namespace tymbal
