package book

import (
	"bytes"
	"compress/gzip"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
)

// LargestBody is the most bytes that one body may have.
const LargestBody = 128 << 20

func (tx *Tx) insertBody(key Key, data []byte) (added bool, err error) {
	if len(data) > LargestBody {
		return false, invalid("bodies", "%d bytes are more than the %d that one may have", len(data), LargestBody)
	}
	err = tx.tx.QueryRowContext(tx.ctx, "SELECT 1 FROM bodies WHERE key = ?", string(key)).Scan(new(int))
	if !errors.Is(err, sql.ErrNoRows) {
		return false, err
	}
	packed, err := pack(data)
	if err != nil {
		return false, err
	}
	_, err = tx.tx.ExecContext(tx.ctx, "INSERT INTO bodies (key, size, gzip) VALUES (?, ?, ?)", string(key), len(data), packed)
	return err == nil, err
}

// Body gives bytes as they were, checked against their key.
func (b *Book) Body(ctx context.Context, key Key) ([]byte, error) {
	var size int64
	var packed []byte
	err := b.db.QueryRowContext(ctx, "SELECT size, gzip FROM bodies WHERE key = ?", string(key)).Scan(&size, &packed)
	if err != nil {
		return nil, explain(b.path, missing(err, fmt.Sprintf("body %.12s", key)))
	}
	data, err := unpack(packed, size, key)
	if err != nil {
		return nil, damaged(b.path, err.Error())
	}
	return data, nil
}

// packing is how hard is packed: an answer grows by a seventh over the usual level, and is
// packed in half the time, which was most of what recording takes.
const packing = 4

func pack(data []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, packing)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// unpack gives the bytes, of which there must be size and which must have key.
func unpack(packed []byte, size int64, key Key) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("body %.12s: %w", key, err)
	}
	data, err := io.ReadAll(io.LimitReader(r, min(size, LargestBody)+1))
	if err != nil {
		return nil, fmt.Errorf("body %.12s: %w", key, err)
	}
	if int64(len(data)) != size || keyOfBytes(data) != key {
		return nil, fmt.Errorf("body %.12s does not fit its hash", key)
	}
	return data, nil
}
