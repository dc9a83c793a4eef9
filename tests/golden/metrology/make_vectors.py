#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Generates the metrology test vectors in this folder (original work; numpy + scipy only).

Run:  python3 make_vectors.py [output folder]     (default: the folder of this script)
Units: x in mm, z in um in every profile CSV; dx is given in um in the JSON.
All expected "discrete" values are computed from the numbers as written in the CSV (9 decimals).
"""
import json, math, os, sys, struct, zipfile, hashlib, warnings
import numpy as np
from scipy import integrate, optimize, special, stats, linalg
warnings.filterwarnings('ignore', category=integrate.IntegrationWarning)

# ------------------------------------------------------------------ profile parameters (discrete)
def rsm(z, dx, lsc, rz, frac_h=0.10, frac_x=0.01):
    """Mean width of profile elements: crossing-the-line with height and width discrimination.
    Lobes below either threshold are dropped, equal neighbours merged; borders at the start of the later lobe
    (forward) or the end of the earlier one (back). Returns RSm in the unit of dx."""
    n = len(z); thr = frac_h*rz; wmin = frac_x*lsc
    s = np.where(z >= 0, 1, -1)
    xc = [0.0]; lobes = []
    start = 0
    for i in range(n-1):
        if s[i] != s[i+1]:
            x = (i + z[i]/(z[i]-z[i+1]))*dx
            lobes.append([xc[-1], x, s[i], np.max(np.abs(z[start:i+1])), len(lobes) == 0])
            xc.append(x); start = i+1
    lobes.append([xc[-1], (n-1)*dx, s[-1], np.max(np.abs(z[start:])), True])
    sig = [l for l in lobes if l[3] >= thr and (l[1]-l[0] >= wmin or l[4])]
    grp = []
    for l in sig:
        if grp and grp[-1][2] == l[2]: grp[-1][1] = l[1]
        else: grp.append(list(l))
    out = []
    for rule in (0, 1):                      # 0 forward: start of later lobe; 1 reverse: end of earlier lobe
        up, dn = [], []
        for a, b in zip(grp[:-1], grp[1:]):
            (up if b[2] > 0 else dn).append(b[0] if rule == 0 else a[1])
        sp = list(np.diff(up)) + list(np.diff(dn))
        if sp: out.append((float(np.mean(sp)), len(sp)))
    if not out: return float('nan'), 0
    return float(np.mean([o[0] for o in out])), out[0][1]

def abbott_rk(z):
    """Rk family from sorted samples. Abscissa m_i=(i-0.5)/N, i=1..N (heights descending), linear in between,
    held flat to m=0 and m=1. Secant spans k=round(0.4 N) sample steps; smallest |drop|; ties (1e-9 Rt) -> first."""
    n = len(z); zs = np.sort(z)[::-1]; m = (np.arange(1, n+1)-0.5)/n
    k = int(round(0.4*n)); drop = zs[:-k]-zs[k:]
    tol = 1e-9*(zs[0]-zs[-1]); i0 = int(np.nonzero(drop <= drop.min()+tol)[0][0])
    mm = m[i0:i0+k+1]; zz = zs[i0:i0+k+1]
    b, a = np.polyfit(mm-mm.mean(), zz, 1); c = a-b*mm.mean()
    y0, y1 = c, c+b
    M = np.concatenate([[0], m, [1]]); Z = np.concatenate([[zs[0]], zs, [zs[-1]]])
    def cross(y):
        if y >= Z[0]: return 0.0
        if y <= Z[-1]: return 1.0
        j = int(np.nonzero(Z <= y)[0][0])
        if Z[j] == y or Z[j-1] == Z[j]: return float(M[j])
        return float(M[j-1]+(Z[j-1]-y)/(Z[j-1]-Z[j])*(M[j]-M[j-1]))
    def area_above(y, me):
        q = np.concatenate([M[M < me], [me]]); h = np.interp(q, M, Z)-y
        return float(np.sum(0.5*(h[1:]+h[:-1])*np.diff(q)))
    def area_below(y, ms):
        q = np.concatenate([[ms], M[M > ms]]); h = y-np.interp(q, M, Z)
        return float(np.sum(0.5*(h[1:]+h[:-1])*np.diff(q)))
    m1, m2 = cross(y0), cross(y1)
    rpk = 2*area_above(y0, m1)/m1 if m1 > 0 else 0.0
    rvk = 2*area_below(y1, m2)/(1-m2) if m2 < 1 else 0.0
    return dict(Rk=float(y0-y1), Rpk=rpk, Rvk=rvk, Mr1_pct=100*m1, Mr2_pct=100*m2, window_start_pct=100*float(m[i0]))

def rmr_polyline(z, c):
    """Share of the open polyline (N-1 segments) lying at or above level c."""
    a, b = z[:-1], z[1:]; hi, lo = np.maximum(a, b), np.minimum(a, b)
    f = np.where(lo >= c, 1.0, np.where(hi < c, 0.0, np.divide(hi-c, hi-lo, out=np.ones_like(hi), where=hi > lo)))
    return float(f.mean())

def params(z, dx_um, nsec, levels=(0.5, 0.25, 0.0, -0.25, -0.5), rk=True, do_rsm=True):
    z = np.asarray(z, float); mean = float(z.mean()); z = z-mean; n = len(z); assert n % nsec == 0
    S = z.reshape(nsec, -1); o = {}
    o['mean_removed_um'] = mean
    o['Ra'] = float(np.mean(np.abs(z))); o['Rq'] = float(np.sqrt(np.mean(z*z)))
    o['Rsk'] = float(np.mean(z**3)/o['Rq']**3); o['Rku'] = float(np.mean(z**4)/o['Rq']**4)
    o['Rt'] = float(z.max()-z.min()); o['Rpt'] = float(z.max()); o['Rvt'] = float(-z.min())
    p, v = S.max(1), -S.min(1)
    o['Rp'] = float(p.mean()); o['Rv'] = float(v.mean()); o['Rz'] = float((p+v).mean()); o['Rzx'] = float((p+v).max())
    ra_s = np.mean(np.abs(S), 1); rq_s = np.sqrt(np.mean(S*S, 1))
    o['Ra_4287_mean_of_sections'] = float(ra_s.mean()); o['Rq_4287_mean_of_sections'] = float(rq_s.mean())
    with np.errstate(divide='ignore', invalid='ignore'):
        o['Rsk_4287_mean_of_sections'] = float(np.mean(np.mean(S**3, 1)/rq_s**3))
        o['Rku_4287_mean_of_sections'] = float(np.mean(np.mean(S**4, 1)/rq_s**4))
    d = (z[6:]-9*z[5:-1]+45*z[4:-2]-45*z[2:-4]+9*z[1:-5]-z[:-6])/(60*dx_um)
    o['Rdq_7pt_interior'] = float(np.sqrt(np.mean(d*d))); o['Rda_7pt_interior'] = float(np.mean(np.abs(d)))
    dz = np.diff(z); o['Rdr_polyline_pct'] = 100*float(np.mean(np.sqrt(1+(dz/dx_um)**2))-1)
    o['Rdq_2pt_segments'] = float(np.sqrt(np.mean((dz/dx_um)**2)))
    if do_rsm:
        r, cnt = rsm(z, dx_um, n*dx_um/nsec, o['Rz']); o['RSm_um'] = r; o['RSm_elements_counted'] = cnt
    o['Rmr'] = [dict(level_um_from_mean=float(f*o['Rpt'] if f > 0 else -f*-o['Rvt'] if f < 0 else 0.0)) for f in levels]
    for e, f in zip(o['Rmr'], levels):
        c = f*o['Rpt'] if f > 0 else f*o['Rvt']
        e['level_um_from_mean'] = float(c); e['polyline_pct'] = 100*rmr_polyline(z, c); e['sample_count_pct'] = 100*float(np.mean(z >= c))
    if rk: o.update(abbott_rk(z))
    return o

# ------------------------------------------------------------------ continuous values from the material ratio curve z(m)
def quad(f, a, b, pts=None):
    pts = sorted(set([a]+[q for q in (pts or []) if a < q < b]+[b]))
    return sum(integrate.quad(f, u, v, epsabs=1e-15, epsrel=1e-14, limit=400)[0] for u, v in zip(pts[:-1], pts[1:]))

def from_curve(zf, win, kinks=(), rk=True, vol=True):
    """zf: height (um) as function of material ratio m in [0,1], decreasing. win: start of the 40 % window."""
    k = list(kinks); mu = quad(zf, 0, 1, k); g = lambda m: zf(m)-mu; o = {}
    z0 = optimize.brentq(g, 0, 1) if g(0)*g(1) < 0 else 0.5
    o['Ra'] = quad(lambda m: abs(g(m)), 0, 1, k+[z0]); o['Rq'] = math.sqrt(quad(lambda m: g(m)**2, 0, 1, k))
    o['Rsk'] = quad(lambda m: g(m)**3, 0, 1, k)/o['Rq']**3; o['Rku'] = quad(lambda m: g(m)**4, 0, 1, k)/o['Rq']**4
    o['Rpt'] = g(0); o['Rvt'] = -g(1); o['Rt'] = g(0)-g(1)
    if rk:
        a, b = win, win+0.4; mc = win+0.2; zc = quad(g, a, b, k)/0.4
        s = quad(lambda m: (m-mc)*g(m), a, b, k)/(0.4**3/12); y0, y1 = zc-s*mc, zc+s*(1-mc)
        eps = 1e-12*o['Rt']
        m1 = optimize.brentq(lambda m: g(m)-y0, 0, 1, xtol=1e-15) if g(0) > y0+eps else 0.0
        m2 = optimize.brentq(lambda m: g(m)-y1, 0, 1, xtol=1e-15) if g(1) < y1-eps else 1.0
        o['Rk'] = y0-y1; o['Mr1_pct'] = 100*m1; o['Mr2_pct'] = 100*m2
        o['Rpk'] = 2*quad(lambda m: g(m)-y0, 0, m1, k)/m1 if m1 > 0 else 0.0
        o['Rvk'] = 2*quad(lambda m: y1-g(m), m2, 1, k)/(1-m2) if m2 < 1 else 0.0
    if vol:
        Vm = lambda p: quad(lambda m: g(m)-g(p), 0, p, k); Vv = lambda p: quad(lambda m: g(p)-g(m), p, 1, k)
        o['Vmp'] = Vm(.1); o['Vmc'] = Vm(.8)-Vm(.1); o['Vvv'] = Vv(.8); o['Vvc'] = Vv(.1)-Vv(.8)
        o['Sxp_2p5_50'] = g(0.025)-g(0.5)
    return {q: float(v) for q, v in o.items()}

def pwl(xs, ys): return lambda m: float(np.interp(m, xs, ys))

# ------------------------------------------------------------------ shapes (t = phase in [0,1))
def tri(t, peak=0.5):     # 0..1..0 over one period, peak position as share of the period
    t = t % 1.0; return np.where(t < peak, t/peak, (1-t)/(1-peak))
def grid(n): return (np.arange(n)+0.5)     # cell-centred samples: x_i=(i+0.5) dx

def write_profile(path, dx_um, z):
    with open(path, 'w') as f:
        f.write('x_mm,z_um\n')
        for i, v in enumerate(z): f.write('%.6f,%.9f\n' % ((i+0.5)*dx_um/1000, v))
    return np.round(np.asarray(z, float), 9)

# ------------------------------------------------------------------ filters
ALPHA = math.sqrt(math.log(2)/math.pi)
GAMMA2 = math.sqrt((-1-special.lambertw(-1/(2*math.e), -1).real)/math.pi)   # constant for the 2nd-order regression filter
def trans_long(r): return math.exp(-math.pi*(ALPHA/r)**2) if r > 0 else 0.0  # r = lambda/lambda_c
def trans_disc(lam, lc, dx, half):        # truncated at +-half*lc, kernel normalised to sum 1
    kmax = int(math.floor(half*lc/dx+1e-9)); k = np.arange(-kmax, kmax+1)
    s = np.exp(-math.pi*(k*dx/(ALPHA*lc))**2); s /= s.sum(); return float(np.sum(s*np.cos(2*math.pi*k*dx/lam)))
def gauss_p0(z, dx, lc):                  # zero-order regression: kernel cut at the profile ends and renormalised
    n = len(z); i = np.arange(n); W = np.exp(-math.pi*((i[:, None]-i[None, :])*dx/(ALPHA*lc))**2)
    return (W@z)/W.sum(1)
def gauss_p2(z, dx, lc, delta=None):      # second-order regression
    n = len(z); i = np.arange(n); w = np.empty(n); delta = np.ones(n) if delta is None else delta
    for k in range(n):
        x = (i-k)*dx; W = np.exp(-math.pi*(x/(GAMMA2*lc))**2)*delta
        X = np.stack([np.ones(n), x, x*x]); A = (X*W)@X.T; w[k] = np.linalg.solve(A, (X*W)@z)[0]
    return w
def gauss_robust(z, dx, lc, tol=1e-9, itmax=200):
    delta = np.ones(len(z)); cb = None
    for it in range(itmax):
        w = gauss_p2(z, dx, lc, delta); r = z-w
        c = 3/(math.sqrt(2)*special.erfinv(0.5))*float(np.median(np.abs(r)))
        delta = np.where(np.abs(r) <= c, (1-(r/c)**2)**2, 0.0)
        if cb is not None and abs(c-cb) <= tol*cb: break
        cb = c
    return w, c, it+1
def spline(z, dx, lc):                    # (1 + beta^4 Q) w = z, natural ends
    n = len(z); b = 1/(2*math.sin(math.pi*dx/lc)); D = np.diff(np.eye(n), 2, axis=0); return np.linalg.solve(np.eye(n)+b**4*D.T@D, z)

# ------------------------------------------------------------------ powder
G0 = 9.80665
def visc_water(tc):      # IAPWS SR6-08 short form for liquid water at 0.1 MPa, Pa s
    t = (tc+273.15)/300; return 1e-6*(280.68*t**-1.9+511.45*t**-7.7+61.131*t**-19.6+0.45903*t**-40.0)
def rho_water(tc):       # Tanaka et al. 2001, air-free water at 101.325 kPa, kg/m3
    return 999.974950*(1-((tc-3.983035)**2*(tc+301.797))/(522528.9*(tc+69.34881)))
def stokes_v(d, rs, rf, eta): return (rs-rf)*G0*d*d/(18*eta)
def d_re(rs, rf, eta, re=0.25): return (18*re*eta**2/((rs-rf)*rf*G0))**(1/3)

# ------------------------------------------------------------------ NIG regression
def nig(X, y, m0, L0, a0, b0, xs):
    """Prior beta|s2 ~ N(m0, s2 L0^-1), s2 ~ InvGamma(a0, b0). Returns posterior and Student-t predictive."""
    Ln = L0+X.T@X; mn = np.linalg.solve(Ln, L0@m0+X.T@y); an = a0+len(y)/2
    bn = b0+0.5*(y@y+m0@L0@m0-mn@Ln@mn); pred = []
    for x in xs:
        x = np.asarray(x, float); sc = math.sqrt(bn/an*(1+x@np.linalg.solve(Ln, x))); q = stats.t.ppf([.05, .5, .95], 2*an)
        pred.append(dict(x=list(map(float, x)), dof=2*an, loc=float(x@mn), scale=sc, q05=float(x@mn+q[0]*sc), q95=float(x@mn+q[2]*sc)))
    lml = (-len(y)/2*math.log(2*math.pi)+0.5*(np.linalg.slogdet(L0)[1]-np.linalg.slogdet(Ln)[1])
           + a0*math.log(b0)-an*math.log(bn)+special.gammaln(an)-special.gammaln(a0))
    return dict(m_n=mn.tolist(), Lambda_n=Ln.tolist(), a_n=an, b_n=float(bn), log_marginal_likelihood=float(lml), predictive=pred)

# ------------------------------------------------------------------ areal
def areal(z, dx, dy):
    z = np.asarray(z, float); z = z-z.mean(); o = {}
    o['Sa'] = float(np.mean(np.abs(z))); o['Sq'] = float(np.sqrt(np.mean(z*z))); o['Ssk'] = float(np.mean(z**3)/o['Sq']**3)
    o['Sku'] = float(np.mean(z**4)/o['Sq']**4); o['Sp'] = float(z.max()); o['Sv'] = float(-z.min()); o['Sz'] = o['Sp']+o['Sv']
    zx = (np.roll(z, -1, 1)-np.roll(z, 1, 1))/(2*dx); zy = (np.roll(z, -1, 0)-np.roll(z, 1, 0))/(2*dy)
    o['Sdq_central_interior'] = float(np.sqrt(np.mean((zx**2+zy**2)[1:-1, 1:-1])))
    a, b, c, d = z[:-1, :-1], z[:-1, 1:], z[1:, :-1], z[1:, 1:]
    def tr(p, q, r, sx, sy):  # triangle with legs dx, dy at corner p
        return 0.5*np.sqrt((dx*dy)**2+(dy*(q-p))**2+(dx*(r-p))**2)
    A1 = tr(a, b, c, 1, 1)+tr(d, c, b, 1, 1); A2 = tr(b, a, d, 1, 1)+tr(c, d, a, 1, 1)
    o['Sdr_triangulated_pct_mean_of_two_diagonals'] = 100*float(np.mean(0.5*(A1+A2))/(dx*dy)-1)
    return o

def dump(path, obj):
    with open(path, 'w') as f: json.dump(obj, f, indent=1, sort_keys=False); f.write('\n')

# ------------------------------------------------------------------ formats
def write_x3p(path, z_m, dx, dy, ztype='D', zinc=1.0, zoff=0.0, feature='SUR', mask=None):
    ny, nx = z_m.shape; fmt = {'I': '<i2', 'L': '<i4', 'F': '<f4', 'D': '<f8'}[ztype]
    raw = z_m if ztype in 'FD' else np.round((z_m-zoff)/zinc); data = np.ascontiguousarray(raw, dtype=fmt).tobytes()
    extra = '' if ztype in 'FD' else '<Increment>%r</Increment><Offset>%r</Offset>' % (zinc, zoff)
    vp, vb = '', None
    if mask is not None:
        vb = np.packbits(mask.ravel().astype(np.uint8), bitorder='little').tobytes()
        vp = '<ValidPointsLink>bindata/valid.bin</ValidPointsLink><MD5ChecksumValidPoints>%s</MD5ChecksumValidPoints>' % hashlib.md5(vb).hexdigest().upper()
    xml = ('<?xml version="1.0" encoding="UTF-8"?>\n<p:ISO5436_2 xmlns:p="http://www.opengps.eu/2008/ISO5436_2" '
      'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">\n<Record1><Revision>ISO5436 - 2000</Revision><FeatureType>%s</FeatureType><Axes>'
      '<CX><AxisType>I</AxisType><Increment>%r</Increment><Offset>0</Offset></CX><CY><AxisType>I</AxisType><Increment>%r</Increment><Offset>0</Offset></CY>'
      '<CZ><AxisType>A</AxisType><DataType>%s</DataType>%s</CZ></Axes></Record1>\n'
      '<Record2><Date>2025-01-01T00:00:00</Date><Creator>test vector</Creator><Instrument><Manufacturer>none</Manufacturer><Model>synthetic</Model>'
      '<Serial>0</Serial><Version>1</Version></Instrument><CalibrationDate>2025-01-01T00:00:00</CalibrationDate>'
      '<ProbingSystem><Type>Software</Type><Identification>none</Identification></ProbingSystem></Record2>\n'
      '<Record3><MatrixDimension><SizeX>%d</SizeX><SizeY>%d</SizeY><SizeZ>1</SizeZ></MatrixDimension><DataLink><PointDataLink>bindata/data.bin</PointDataLink>'
      '<MD5ChecksumPointData>%s</MD5ChecksumPointData>%s</DataLink></Record3>\n<Record4><ChecksumFile>md5checksum.hex</ChecksumFile></Record4>\n</p:ISO5436_2>\n'
      % (feature, float(dx), float(dy), ztype, extra, nx, ny, hashlib.md5(data).hexdigest().upper(), vp)).encode()
    with zipfile.ZipFile(path, 'w', zipfile.ZIP_DEFLATED) as zf:
        def put(n, b):
            zi = zipfile.ZipInfo(n, (2025, 1, 1, 0, 0, 0)); zi.compress_type = zipfile.ZIP_DEFLATED; zf.writestr(zi, b)
        put('main.xml', xml); put('bindata/data.bin', data)
        if vb is not None: put('bindata/valid.bin', vb)
        put('md5checksum.hex', (hashlib.md5(xml).hexdigest()+' *main.xml\n').encode())

def write_sdf_ascii(path, zi, dx_m, dy_m, zscale, magic='aISO-1.0', dtype=5):
    ny, nx = zi.shape
    with open(path, 'w', newline='') as f:
        f.write('%s\r\nManufacID   = SYNTHETIC\r\nCreateDate  = 010120250000\r\nModDate     = 010120250000\r\nNumPoints   = %d\r\nNumProfiles = %d\r\n'
                'Xscale      = %r\r\nYscale      = %r\r\nZscale      = %r\r\nZresolution = -1\r\nCompression = 0\r\nDataType    = %d\r\nCheckType   = 0\r\n*\r\n'
                % (magic, nx, ny, dx_m, dy_m, zscale, dtype))
        for r in zi: f.write(' '.join('%d' % v if dtype in (0, 1, 2, 4, 5, 6) else '%.9g' % v for v in r)+'\r\n')
        f.write('*\r\n*\r\n')
def write_sdf_bin(path, zi, dx_m, dy_m, zscale, magic=b'bISO-1.0', dtype=5):
    ny, nx = zi.shape; fmt = {0: 'u1', 1: '<u2', 2: '<u4', 3: '<f4', 4: 'i1', 5: '<i2', 6: '<i4', 7: '<f8'}[dtype]
    h = struct.pack('<8s10s12s12sHHddddBBB', magic, b'SYNTHETIC ', b'010120250000', b'010120250000', nx, ny, dx_m, dy_m, zscale, -1.0, 0, dtype, 0)
    assert len(h) == 81
    with open(path, 'wb') as f: f.write(h+np.ascontiguousarray(zi, dtype=fmt).tobytes())
def write_smd(path, z_um, dx_mm, name):
    with open(path, 'w', newline='') as f:
        f.write('ISO 5436 - 2000 %s\r\nPRF 1 ISO5436\r\nCX I %d mm 1.0e0 D %.6e\r\nCZ A %d um 1.0e0 D\r\n\x03\r\n' % (name, len(z_um), dx_mm, len(z_um)))
        f.write('DATE 01-Jan-2025\r\nTIME 00:00\r\nCREATED_BY test vector\r\nPROFILE_FILTER Gaussian LS 0.0e0 LC 8.0e-1\r\n\x03\r\n')
        body = ''.join('%.9f\r\n' % v for v in z_um); f.write(body+'\x03\r\n'); f.write('%d\r\n\x03\r\n\x1a' % (sum(body.encode()) % 65535))

# ================================================================== profile cases
def run_profiles(cases, outdir):
    res = {}
    for name, c in cases.items():
        z = write_profile(os.path.join(outdir, name+'.csv'), c['dx_um'], c['z'])
        e = dict(description=c['desc'], n=len(z), dx_um=c['dx_um'], nsec=c['nsec'], lsc_mm=len(z)*c['dx_um']/1000/c['nsec'])
        e['discrete'] = params(z, c['dx_um'], c['nsec'], rk=c.get('rk', True), do_rsm=c.get('rsm', True))
        if 'cont' in c: e['continuous'] = c['cont']
        res[name] = e
    dump(os.path.join(outdir, 'profiles_expected.json'), res); return res

def gaussian_profile(n, dx, sigma, beta, seed):
    """Periodic random-phase profile with spectrum of the autocorrelation exp(-(t/beta)^2) (t in um); near-Gaussian heights."""
    rng = np.random.default_rng(seed); f = np.fft.rfftfreq(n, dx)
    w = np.exp(-(math.pi*f*beta)**2/2)*np.exp(2j*math.pi*rng.random(len(f))); w[0] = 0
    z = np.fft.irfft(w, n); return z*sigma/np.sqrt(np.mean(z*z))

def mirror_rk(c):
    return dict(Rk=c['Rk'], Rpk=c['Rvk'], Rvk=c['Rpk'], Mr1_pct=100-c['Mr2_pct'], Mr2_pct=100-c['Mr1_pct'])

def shared_cases():
    # le = 4 mm, 5 sections of 0.8 mm, 1600 samples. The number of periods P is coprime to 1600, so the sampled phases are
    # 1600 different, equally spaced values: sums over samples are midpoint rules for the continuous integrals.
    C = {}; N = 1600; dx = 2.5; u = grid(N)*dx; L = N*dx
    A, P = 1.25, 27; lam = L/P
    cont = from_curve(lambda m: A*math.cos(math.pi*m), 0.0); cont.update(Rdq=math.sqrt(2)*math.pi*A/lam, RSm_um=lam)
    cont['tie_other_window'] = mirror_rk(cont)
    C['p01_sine'] = dict(desc='sine, amplitude 1.25 um, 27 periods in 4 mm. The smallest-gradient 40 % window of a sine lies at an END of the Abbott curve (0..40 % or 60..100 %, a tie): main values use 0..40 %', dx_um=dx, nsec=5, z=A*np.sin(2*np.pi*u/lam), cont=cont)
    A, P = 2.0, 11; lam = L/P
    cont = from_curve(lambda m: A*(1-2*m), 0.0); cont.update(Rdq=4*A/lam, RSm_um=lam)
    C['p02_triangle'] = dict(desc='symmetric triangle wave, amplitude 2 um (peak to valley 4), 11 periods in 4 mm; Abbott curve is a straight line', dx_um=dx, nsec=5, z=A*(2*tri(u/lam)-1), cont=cont)
    A, P = 0.5, 19; lam = L/P
    C['p03_square'] = dict(desc='square wave +-0.5 um, 19 periods in 4 mm, duty 1/2: Ra=Rq=Rp=Rv=0.5, Rsk=0, Rku=1; Rk family undefined', dx_um=dx, nsec=5,
        z=np.where((u/lam) % 1 < 0.5, A, -A), rk=False, cont=dict(Ra=A, Rq=A, Rsk=0.0, Rku=1.0, Rpt=A, Rvt=A, Rt=2*A, RSm_um=lam))
    A, P = 3.0, 13; lam = L/P
    cont = from_curve(lambda m: A*(1-2*m), 0.0); cont.update(RSm_um=lam)
    C['p04_sawtooth'] = dict(desc='sawtooth rising from -3 to +3 um then dropping, 13 periods in 4 mm; same Abbott curve as a triangle', dx_um=dx, nsec=5, z=A*(2*((u/lam) % 1)-1), cont=cont)
    h, P = 2.0, 9; lam = L/P; t = (u/lam) % 1
    z = np.interp(t, [0, .30, .45, .85, 1.0], [h, h, 0, 0, h]); mean = h*(0.30+0.5*0.30)
    e2 = h*h*(0.30+0.30/3); e3 = h**3*(0.30+0.30/4); e4 = h**4*(0.30+0.30/5)
    v = e2-mean**2; c3 = e3-3*mean*e2+2*mean**3; c4 = e4-4*mean*e3+6*mean**2*e2-3*mean**4; s = math.sqrt(v)
    ra = 2*(0.30*(h-mean)+0.30*(h-mean)**2/(2*h))
    C['p05_trapezoid'] = dict(desc='trapezoid wave, height 2 um, 9 periods in 4 mm: 30 % top, 15 % flank, 40 % bottom, 15 % flank', dx_um=dx, nsec=5, z=z, rk=False,
        cont=dict(mean=mean, Ra=ra, Rq=s, Rsk=c3/s**3, Rku=c4/s**4, Rpt=h-mean, Rvt=mean, Rt=h, RSm_um=lam))
    comp = [(1.0, 800.0, 0.3), (0.4, 100.0, 1.1), (0.15, 40.0, 2.0)]
    z = sum(a*np.sin(2*np.pi*u/l+p) for a, l, p in comp)
    C['p06_three_sines'] = dict(desc='1.0 sin(800 um, 0.3 rad)+0.4 sin(100 um, 1.1)+0.15 sin(40 um, 2.0). RSm here depends on the convention: do not gate on it', dx_um=dx, nsec=5, z=z,
        cont=dict(Rq=math.sqrt(sum(a*a for a, _, _ in comp)/2), Rdq=math.sqrt(sum((2*math.pi*a/l)**2 for a, l, _ in comp)/2)))
    sig = 0.8
    cg = from_curve(lambda m: -sig*special.ndtri(min(max(m, 1e-300), 1-1e-16)), 0.3, vol=False, rk=True)
    C['p07_gauss'] = dict(desc='near-Gaussian random-phase profile, Rq=0.8 um, autocorrelation exp(-(t/15um)^2), seed 1280; "continuous" = expectation for an ideal Gaussian surface. RSm depends on the convention: do not gate on it',
        dx_um=dx, nsec=5, z=gaussian_profile(N, dx, sig, 15.0, 1280), cont=dict(note='ensemble', Ra=sig*math.sqrt(2/math.pi), Rq=sig, Rsk=0.0, Rku=3.0,
        Rdq=sig*math.sqrt(2)/15.0, Rk=cg['Rk'], Rpk=cg['Rpk'], Rvk=cg['Rvk'], Mr1_pct=cg['Mr1_pct'], Mr2_pct=cg['Mr2_pct']))
    xm, ym, P = [0, .08, .75, 1.0], [5.0, 3.0, 2.0, -4.0], 23; f = np.interp(1-tri(u*P/L), xm, ym)
    cont = from_curve(pwl(xm, ym), 0.2, kinks=xm[1:3]); cont['RSm_um'] = L/P
    C['p08_plateau'] = dict(desc='worn plateau with peaks and grooves: Abbott curve straight between (0,5),(8,3),(75,2),(100,-4) (percent, um); 23 periods in 4 mm. Any 40 % window inside 8..75 % gives the same core line',
        dx_um=dx, nsec=5, z=f, cont=cont)
    hh, P = 4.0, 21; lam = L/P; z = hh*(2*(((u/lam) % 1)-0.5))**2
    cont = from_curve(lambda m: hh*(1-m)**2, 0.6); cont.update(RSm_um=lam, Ra_closed=4*hh/(9*math.sqrt(3)), note='feed marks: h=f^2/(8R); Ra = f^2/(18 sqrt(3) R)')
    C['p09_scallop'] = dict(desc='parabolic feed marks, height 4 um, 21 pitches in 4 mm (turning with a round nose); smallest-gradient window is 60..100 %', dx_um=dx, nsec=5, z=z, cont=cont)
    amp = np.repeat([1.0, 1.5, 2.0, 2.5, 3.0], N//5)
    C['p10_sections'] = dict(desc='sine, wavelength 80 um, amplitude 1.0,1.5,2.0,2.5,3.0 um in the five sections: Rz 4.0, Rzx 6.0, Rt 6.0; Rq over le differs from the mean of section Rq', dx_um=dx, nsec=5, z=amp*np.sin(2*np.pi*u/80.0),
        cont=dict(Rz=4.0, Rzx=6.0, Rt=6.0, Ra=4/math.pi, Rq=math.sqrt(np.mean(np.array([1, 1.5, 2, 2.5, 3])**2)/2), Rq_4287_mean_of_sections=2.0/math.sqrt(2), RSm_um=80.0))
    z = 1.0*np.sin(2*np.pi*u/400.0)+0.05*np.sin(2*np.pi*u/11.0)
    C['p11_rsm_ripple'] = dict(desc='sine 1 um / 400 um with a 0.05 um / 11 um ripple: extra mean-line crossings, all below 10 % of Rz; RSm must stay within 0.5 % of 400 um', dx_um=dx, nsec=5, z=z, cont=dict(RSm_um=400.0))
    return C

def shared_extra(out):
    V = os.path.join(out, 'vectors')
    # --- Gaussian filter transmission
    ratios = [0.1, 0.2, 0.25, 1/3, 0.4, 0.5, 2/3, 0.75, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 2.0, 3.0, 4.0, 5.0, 10.0]
    with open(V+'/gaussian_transmission.csv', 'w') as f:
        f.write('lambda_over_lc,mean_line_ideal,roughness_ideal,mean_line_trunc_0p5lc,mean_line_trunc_1p0lc\n')
        for r in ratios: f.write('%.10f,%.12f,%.12f,%.12f,%.12f\n' % (r, trans_long(r), 1-trans_long(r), trans_disc(r*0.8, 0.8, 0.002, 0.5), trans_disc(r*0.8, 0.8, 0.002, 1.0)))
    # --- end effects, regression, robust, spline on one short profile
    n, d, lc = 401, 0.01, 0.8; x = np.arange(n)*d
    z = 0.6*np.sin(2*np.pi*x/1.6+0.4)+0.3*np.sin(2*np.pi*x/0.16)+0.5*x+np.where(np.abs(x-2.2) < 0.06, -4.0, 0)+np.where(np.abs(x-3.0) < 1e-9, 6.0, 0)
    z = np.round(z, 9); w0, w2 = gauss_p0(z, d, lc), gauss_p2(z, d, lc); wr, cb, it = gauss_robust(z, d, lc); ws = spline(z, d, lc)
    with open(V+'/filters_endeffects.csv', 'w') as f:
        f.write('x_mm,z_um,mean_gauss_p0,mean_gauss_p2,mean_robust_p2,mean_spline\n')
        for row in zip(x, z, w0, w2, wr, ws): f.write('%.4f,%.9f,%.10f,%.10f,%.10f,%.10f\n' % row)
    # --- trace -> roughness parameters through the Gaussian filter
    dx = 4.0; n = 1400; u = grid(n)*dx; z = write_profile(V+'/trace_for_filter.csv', dx, 2.0*np.sin(2*np.pi*u/2800.0)+0.9*np.sin(2*np.pi*u/200.0)+0.2*np.sin(2*np.pi*u/50.0)+0.0008*u)
    tr = {}
    for half in (0.5, 1.0):
        k = int(half*800/dx); kk = np.arange(-k, k+1); s = np.exp(-math.pi*(kk*dx/(ALPHA*800))**2); s /= s.sum()
        w = np.convolve(z, s, 'valid'); r = z[k:n-k]-w; off = (len(r)-1000)//2
        tr['trunc_%.1f_lc' % half] = dict(kept_first_sample=k+off, kept_samples=1000, params=params(r[off:off+1000], dx, 5, rk=False))
    dump(V+'/trace_for_filter_expected.json', dict(lc_mm=0.8, dx_um=dx, trace_mm=5.6, note='truncate the kernel at +-0.5 or +-1.0 lc, normalise to sum 1, keep the central 4.0 mm (1000 samples), subtract their mean, then evaluate',
        ideal_amplitudes=dict(l200=0.9*(1-trans_long(0.25)), l50=0.2*(1-trans_long(0.0625)), l2800=2.0*(1-trans_long(3.5))), results=tr))
    dump(V+'/filters_expected.json', dict(alpha=ALPHA, gamma_p2=GAMMA2, tukey_factor=3/(math.sqrt(2)*special.erfinv(.5)), robust_final_cB=cb, robust_iterations=it,
        spline_beta=1/(2*math.sin(math.pi*d/lc)), lc_mm=lc, dx_mm=d,
        spline_transmission=[dict(ratio=r, mean_line=1/(1+(math.sin(math.pi*d/(r*lc))/math.sin(math.pi*d/lc))**4)) for r in (0.25, 0.5, 1.0, 2.0, 4.0)],
        note='p0: kernel alpha cut at profile ends and renormalised. p2: local parabola, Gaussian weights with constant gamma_p2. robust: p2 + Tukey biweight, cB=4.4478 median|r|, iterate until relative change of cB <= 1e-9. spline: natural ends.'))
    # --- form removal
    n = 500; x = np.arange(n)*8.0; zz = np.round(1.5+0.002*x-3e-7*(x-2000)**2+0.5*np.sin(2*np.pi*x/250), 9)
    c1 = np.polyfit((x-x.mean())/1000, zz, 1); c2 = np.polyfit((x-x.mean())/1000, zz, 2)
    with open(V+'/form.csv', 'w') as f:
        f.write('x_mm,z_um\n'); [f.write('%.6f,%.9f\n' % (a/1000, b)) for a, b in zip(x, zz)]
    dump(V+'/form_expected.json', dict(note='ordinary least squares in z, x in mm relative to the mean x', x_mean_mm=float(x.mean()/1000), line_high_to_low=c1.tolist(), parabola_high_to_low=c2.tolist(),
        rms_after_line=float(np.std(zz-np.polyval(c1, (x-x.mean())/1000))), rms_after_parabola=float(np.std(zz-np.polyval(c2, (x-x.mean())/1000)))))
    # --- areal
    n = 64; d = 2.0; X, Y = np.meshgrid(grid(n)*d, grid(n)*d); Lx = n*d; A = {}
    k = 2*np.pi*3/Lx; egg = np.round(1.2*np.sin(k*X)*np.sin(k*Y), 9); np.savetxt(V+'/areal_egg.csv', egg, fmt='%.9f', delimiter=',')
    f = lambda a, b: math.sqrt(1+(1.2*k*math.cos(a)*math.sin(b))**2+(1.2*k*math.sin(a)*math.cos(b))**2)
    sdr = 100*(integrate.dblquad(f, 0, math.pi/2, 0, math.pi/2, epsabs=1e-13)[0]/(math.pi/2)**2-1)
    A['areal_egg'] = dict(desc='1.2 um sin(kx) sin(ky), k=2pi*3/128um, 64x64 at 2 um, cell centred, whole periods', dx_um=d, discrete=areal(egg, d, d),
        continuous=dict(Sa=1.2*4/math.pi**2, Sq=0.6, Ssk=0.0, Sku=2.25, Sp=1.2, Sv=1.2, Sz=2.4, Sdq=1.2*k/math.sqrt(2), Sdr_pct=sdr))
    kx, ky = 2*np.pi*5/Lx, 2*np.pi*3/Lx; lam = 2*np.pi/math.hypot(kx, ky); ang = math.degrees(math.atan2(ky, kx)); a = 0.7*2*math.pi/lam
    gr = np.round(0.7*np.cos(kx*X+ky*Y), 9); np.savetxt(V+'/areal_grooves.csv', gr, fmt='%.9f', delimiter=',')
    A['areal_grooves'] = dict(desc='straight cosine grooves, amplitude 0.7 um, 5 periods along x and 3 along y on the 128 um field; wave vector at atan(3/5) from +x, grooves (lay) at 90 deg to it',
        dx_um=d, discrete=areal(gr, d, d), continuous=dict(Sa=0.7*2/math.pi, Sq=0.7/math.sqrt(2), Ssk=0.0, Sku=1.5, Sdq=a/math.sqrt(2), Sdr_pct=100*(2/math.pi*special.ellipe(-a*a)-1), wavelength_um=lam, wavevector_deg=ang, lay_deg=ang+90, Sal_um=lam*math.acos(0.2)/(2*math.pi), Str=0.0))
    rng = np.random.default_rng(777); l0 = 6.0; fx = np.fft.fftfreq(n, d); FX, FY = np.meshgrid(fx, fx)
    ph = np.fft.fft2(rng.standard_normal((n, n))); w = np.exp(-(math.pi*l0)**2*(FX**2+FY**2)/2)*ph/np.abs(ph); w[0, 0] = 0
    q = np.fft.ifft2(w).real; q *= 0.3/np.sqrt(np.mean(q*q)); q = np.round(q, 7); np.savetxt(V+'/areal_gauss.csv', q, fmt='%.7f', delimiter=',')
    A['areal_gauss'] = dict(desc='isotropic near-Gaussian random-phase surface, Sq 0.3 um, autocorrelation exp(-(r/6um)^2), 64x64 at 2 um, periodic, seed 777', dx_um=d, discrete=areal(q, d, d),
        ensemble=dict(Sa=0.3*math.sqrt(2/math.pi), Sq=0.3, Ssk=0.0, Sku=3.0, Sdq=0.3*2/l0, Sal_um=l0*math.sqrt(math.log(5)), Str=1.0))
    dump(V+'/areal_expected.json', A)
    # --- powder
    with open(V+'/water.csv', 'w') as fo:
        fo.write('t_C,eta_mPa_s,rho_kg_m3,nu_mm2_s\n')
        for t in range(5, 41): e, r = visc_water(t), rho_water(t); fo.write('%d,%.6f,%.4f,%.6f\n' % (t, e*1e3, r, e/r*1e6))
    mats = dict(silicon_carbide=3210.0, fused_alumina=3960.0, quartz=2650.0, garnet_almandine=4100.0, boron_carbide=2520.0, diamond=3515.0, cerium_oxide=7130.0, chromium_oxide=5220.0)
    with open(V+'/settling.csv', 'w') as fo:
        fo.write('material,rho_s,t_C,d_um,v_um_s,t_100mm_s,Re,d_max_um_at_Re_0p25\n')
        for nme, rs in mats.items():
            for t in (10, 20, 30):
                e, r = visc_water(t), rho_water(t)
                for du in (1, 2, 3, 5, 8, 10, 15, 20, 30, 40, 60):
                    v = stokes_v(du*1e-6, rs, r, e); fo.write('%s,%.0f,%d,%d,%.8g,%.8g,%.6g,%.6g\n' % (nme, rs, t, du, v*1e6, 0.1/v, r*v*du*1e-6/e, d_re(rs, r, e)*1e6))
    with open(V+'/decantation.csv', 'w') as fo:
        fo.write('d_over_dc,n,left_in_sediment,carried_off_total\n')
        for q in (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99):
            for m in (1, 2, 3, 4, 5, 6, 8, 10, 15, 20): fo.write('%.2f,%d,%.10f,%.10f\n' % (q, m, q**(2*m), 1-q**(2*m)))
    # sieve analysis example
    ap = [212, 180, 150, 125, 106, 90, 75, 63]; ret = [0.00, 1.42, 14.86, 38.91, 29.37, 11.20, 2.96, 0.84]; pan = 0.31
    tot = sum(ret)+pan; cum = np.cumsum(ret)/tot*100
    def dlog(p):
        j = int(np.nonzero(cum >= p)[0][0]); f = (p-cum[j-1])/(cum[j]-cum[j-1]); return float(math.exp(math.log(ap[j-1])+f*(math.log(ap[j])-math.log(ap[j-1]))))
    ex = dict(aperture_um=ap, retained_g=ret, pan_g=pan, charge_g=100.00, total_recovered_g=tot, loss_pct=100*(100.00-tot)/100.00, cumulative_oversize_pct=cum.tolist(),
        d_at_oversize={str(p): dlog(p) for p in (5, 16, 25, 50, 75, 84, 95)}, rule='oversize is linear in ln(aperture) between adjacent sieves; percentages are of the recovered mass')
    # Hatch-Choate
    mmd, gsd = 12.5, 1.45; L = math.log(gsd)**2
    hc = dict(MMD_um=mmd, GSD=gsd, CMD=mmd*math.exp(-3*L), SMD_d32=mmd*math.exp(-0.5*L), mode_mass=mmd*math.exp(-L), mean_d43=mmd*math.exp(0.5*L), count_mean_d10=mmd*math.exp(-2.5*L), d16=mmd/gsd, d84=mmd*gsd, d3=mmd*math.exp(special.ndtri(.03)*math.log(gsd)), d94=mmd*math.exp(special.ndtri(.94)*math.log(gsd)),
        specific_surface_m2_g_at_3210=6/(3210.0*mmd*1e-6*math.exp(-0.5*L))/1000)
    e20, r20 = visc_water(20), rho_water(20)
    pip = []
    for tmin, hcm, c in ((1, 20.0, 9.21), (4, 19.6, 6.87), (16, 19.2, 3.30), (64, 18.8, 1.08), (256, 18.4, 0.27)):
        d = math.sqrt(18*e20*hcm/100/((3210-r20)*G0*tmin*60)); pip.append(dict(t_min=tmin, depth_cm=hcm, conc_g_per_l=c, d_um=d*1e6, finer_pct=100*c/10.0))
    hyd = []
    for tmin, R in ((1, 45.0), (2, 38.0), (5, 29.5), (15, 20.0), (60, 11.0), (250, 5.5)):
        Ld = 16.294964-0.164*R; K = math.sqrt(30*e20*10/(G0*100*(2.65-r20/1000)))  # eta in poise, g in cm/s2
        hyd.append(dict(t_min=tmin, R_152H=R, L_cm=Ld, K=K, D_mm=K*math.sqrt(Ld/tmin), finer_pct=100*R*1.0/50.0))
    lev = dict(rule='column H, drawn to depth h after time t; cut dc=sqrt(18 eta h/((rs-rf) g t)); drawn-off share for d<dc is (h/H)(1-(d/dc)^2); for n repeats the share left is (1-that)^n', example=[])
    for q in (0.3, 0.5, 0.7, 0.9):
        for nn in (1, 3, 5): lev['example'].append(dict(h_over_H=0.9, d_over_dc=q, n=nn, left=(1-0.9*(1-q*q))**nn))
    dump(V+'/powder_expected.json', dict(g=G0, sieve=ex, hatch_choate=hc, pipette_SiC_20C_10g_per_l=pip, hydrometer_Gs_2p65_20C_50g=hyd, decant_partial=lev))
    return A

def shared_stats(out):
    V = os.path.join(out, 'vectors')
    # small NIG example: log10 Ra against log10 mean grain size (synthetic shop log, 8 jobs)
    gs = np.array([201.0, 125.0, 82.0, 58.5, 40.5, 25.8, 15.3, 8.4]); ra = np.array([3.61, 2.02, 1.55, 0.98, 0.80, 0.45, 0.31, 0.16])
    X = np.stack([np.ones(8), np.log(gs)], 1); y = np.log(ra)
    r = nig(X, y, np.array([-4.0, 1.0]), np.diag([0.5, 4.0]), 2.0, 0.05, [[1, math.log(100.0)], [1, math.log(30.2)], [1, math.log(5.0)]])
    ols = np.linalg.lstsq(X, y, rcond=None); res = y-X@ols[0]
    dump(V+'/bayes_nig_expected.json', dict(grain_um=gs.tolist(), Ra_um=ra.tolist(), model='ln Ra = b0 + b1 ln d + e', prior=dict(m0=[-4.0, 1.0], Lambda0=[[0.5, 0], [0, 4.0]], a0=2.0, b0=0.05),
        posterior=r, ols=dict(beta=ols[0].tolist(), s=float(math.sqrt(res@res/6)))))

def shared_formats(out):
    F = os.path.join(out, 'formats'); n = 16; x = np.arange(n)
    surf = np.round(1000*np.sin(2*np.pi*x/8)[None, :]*np.cos(2*np.pi*np.arange(6)/6)[:, None]).astype(int)   # 6 rows x 16
    m = surf*1e-9
    write_x3p(F+'/surf_int16.x3p', m, 2e-6, 3e-6, 'I', 1e-9, 0.0)
    md = m.copy(); md[2, 5] = np.nan; write_x3p(F+'/surf_double_nan.x3p', md, 2e-6, 3e-6, 'D')
    write_x3p(F+'/profile_float.x3p', m[1:2], 2e-6, 2e-6, 'F', feature='PRF')
    mask = np.ones((6, 16), bool); mask[0, 0] = mask[3, 7] = mask[5, 15] = False; write_x3p(F+'/surf_int32_mask.x3p', m, 2e-6, 3e-6, 'L', 1e-9, 0.0, mask=mask)
    write_sdf_ascii(F+'/surf_ascii.sdf', surf, 2e-6, 3e-6, 1e-9); write_sdf_bin(F+'/surf_int16.sdf', surf, 2e-6, 3e-6, 1e-9); write_sdf_bin(F+'/surf_double.sdf', surf.astype(float), 2e-6, 3e-6, 1e-9, magic=b'bBCR-1.0', dtype=7)
    write_smd(F+'/profile.smd', surf[1]/1000.0, 0.002, 'synthetic01')
    dump(F+'/formats_expected.json', dict(nx=16, ny=6, dx_m=2e-6, dy_m=3e-6, z_nm=surf.tolist(), nan_at_row_col=[[2, 5]], masked_out_row_col=[[0, 0], [3, 7], [5, 15]], profile_row=1))

if __name__ == '__main__':
    out = sys.argv[1] if len(sys.argv) > 1 else os.path.dirname(os.path.abspath(__file__))
    for s in ('vectors', 'formats'): os.makedirs(os.path.join(out, s), exist_ok=True)
    run_profiles(shared_cases(), os.path.join(out, 'vectors')); shared_extra(out); shared_stats(out); shared_formats(out)
    print('done')
